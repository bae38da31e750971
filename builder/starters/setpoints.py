"""The alarms of a starter: cautious, and below what the place's lists name."""

from collections.abc import Iterable
from fractions import Fraction

from builder.reference.library import library
from builder.reference.rules import ACTIVITIES, place, rules_for
from builder.starters.trades import Kind
from builder.starters.writing import CONFIRM, INVENTED, Wanted


def setpoints(kinds: Iterable[Kind], wanted: Wanted) -> str:
    """The text of ``setpoints.yaml``."""
    made = []
    for kind in kinds:
        low, high = _actions(kind)
        highest = _oxygen_high(wanted.place) if kind.channel == "oxygen" else kind.high
        shift, short = _protected(kind, wanted)
        made.append(
            f"  - areas: all\n    channel: {kind.channel}\n"
            "    reason: Cautious values to begin with; to be confirmed.\n"
            f"    low: {{set: {kind.low}{shift}, action: {low}}}      {CONFIRM}\n"
            f"    high: {{set: {highest}{short}, action: {high}}}      {CONFIRM}\n"
        )
    return INVENTED + "setpoints:\n" + "".join(made)


def lists_for(place_id: str) -> tuple[str, ...]:
    """Lists of exposure limits to begin with: those that are law there, and a recommendation that is stricter."""
    law = place(place_id).lists
    if place_id == "germany":
        return ("eu",)
    return law if law and not place_id.startswith("us-") else (*law, "niosh")


def _oxygen_high(place_id: str) -> str:
    """Half a percent by volume below what any rule of the place names, or the 23.5 %vol of 29 CFR 1910.146 (b)."""
    named = [rule.value for rule in rules_for(place_id, ACTIVITIES) if rule.quantity == "oxygen-high"]
    return f"{float(min(named, default=Fraction('23.5')) - Fraction('0.5')):.1f} %vol"


def _protected(kind: Kind, wanted: Wanted) -> tuple[str, str]:
    """Which limits the first and the second alarm of a toxic gas are there to keep; nothing for other channels."""
    if kind.channel in ("flammable", "oxygen"):
        return "", ""
    known = [
        (name, limits)
        for name in lists_for(wanted.place)
        if (limits := library().limits(kind.protects or kind.shows, name, wanted.day))
    ]
    of_gas = f", protects-gas: {kind.protects}" if kind.protects else ""
    shift = _first(known, ("twa", "stel", "ceiling"))
    short = _first(known, ("ceiling", "stel", "excursion", "twa"))
    return f", protects: {shift}{of_gas}" if shift else "", f", protects: {short}{of_gas}" if short else ""


def _first(known: Iterable[tuple[str, Iterable[str]]], kinds: Iterable[str]) -> str:
    """The first kind that any list has, of the first list that has it, as content names it."""
    lists = list(known)
    return next((f"{name}.{kind}" for kind in kinds for name, limits in lists if kind in limits), "")


def _actions(kind: Kind) -> tuple[str, str]:
    if kind.channel == "oxygen":
        return "Out now. Stay out.", "No flame. Out now."
    return "Leave. Call for help.", "Out now. Stay out."
