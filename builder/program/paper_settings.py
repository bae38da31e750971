"""How blank log sheets are made and cards are set out on sheets, where a site does not leave that to the builder."""

from collections.abc import Mapping
from dataclasses import field

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields

USUAL_DAYS, MOST_DAYS = 5, 31
"""Lines a unit for checks before each day's use: a working week, and a month."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormSetting:
    """What ``forms.yaml`` says; empty where it says nothing."""

    separate: tuple[Given[str], ...] = ()
    """Checks that keep a sheet of their own, though they are made with others before each day's use."""
    languages: tuple[Given[str], ...] = ()
    """One sheet each; empty for the site's first language."""
    days: int = USUAL_DAYS
    keep: Given[str] | None = None
    """Entry of ``retention.yaml`` that says how long filled sheets are kept."""
    areas: Mapping[str, tuple[Given[str], ...]] = field(default_factory=dict)
    """Area id to the languages of its sheets, where it has others."""

    def spoken_in(self, area: str, first: Given[str]) -> tuple[Given[str], ...]:
        """The languages of an area's sheets, or of those of pools where ``area`` is empty."""
        return self.areas.get(area) or self.languages or (first,)


def read_forms(fields: Fields) -> FormSetting:
    """``forms.yaml``."""
    return FormSetting(
        separate=fields.references("separate", "check"),
        languages=fields.choices("languages", fields.faults.languages),
        days=_whole(fields, "days", USUAL_DAYS, MOST_DAYS),
        keep=fields.maybe_reference("keep", "retention"),
        areas=_areas(fields),
    )


def _areas(fields: Fields) -> dict[str, tuple[Given[str], ...]]:
    made = fields.parts("areas", "area of log sheets", _area, required=False)
    first: dict[str, Where] = {}
    for area, _ in made:
        if area.value in first:
            fields.faults.twice(area.where, f"area {area.value!r} twice", f"once; it stands at {first[area.value]}")
        first.setdefault(area.value, area.where)
    return {area.value: languages for area, languages in made}


def _area(fields: Fields) -> tuple[Given[str], tuple[Given[str], ...]]:
    return fields.reference("area", "area"), fields.choices("languages", fields.faults.languages, required=True)


TURNS = ("long-edge", "short-edge")
MOST = {"bleed": (0, 3), "gutter": (0, 40), "lamination": (3, 5)}
"""Least and most of each length, in mm."""
MOST_COPIES = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSetting:
    """What ``sheets.yaml`` says; ``None`` where it says nothing."""

    turn: str = TURNS[0]
    bleed: Given[Quantity] | None = None
    gutter: Given[Quantity] | None = None
    lamination: Given[Quantity] | None = None
    copies: int = 1


def read_sheets(fields: Fields) -> SheetSetting:
    """``sheets.yaml``."""
    return SheetSetting(
        bleed=_length(fields, "bleed"),
        gutter=_length(fields, "gutter"),
        lamination=_length(fields, "lamination"),
        turn=fields.choice("turn", TURNS, TURNS[0]).value,
        copies=_whole(fields, "copies", 1, MOST_COPIES, "; the printer makes more"),
    )


def _length(fields: Fields, name: str) -> Given[Quantity] | None:
    least, most = MOST[name]
    given = fields.maybe_quantity(name, "mm")
    if given is not None and not least <= magnitude(given.value, "mm") <= most:
        fields.faults.range(given.where, f"{given.text!r} for {name!r}", f"{least} to {most} mm")
    return given


def _whole(fields: Fields, key: str, usual: int, most: int, more: str = "") -> int:
    """A whole number up to the most; the usual one where it is not said."""
    given = fields.maybe_whole(key, least=1)
    if given is not None and given.value > most:
        fields.faults.range(given.where, f"{given.text} {key}", f"1 to {most}{more}")
    return given.value if given else usual
