"""Tables about the air itself: oxygen at the height of the site, vapours of liquids, gas that is warm."""

from __future__ import annotations

from builder.figures.topics.oxygen import LEVELS, high_site, key_of
from builder.pages.blocks import Block, Inlines
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import assumes, facts, head, inlines, para, table
from builder.program.areas import Area
from builder.program.gases import Gas

WAYS = {
    "partial-pressure": "Partial pressure, dry air",
    "partial-pressure-humid": "At the humidity of the site",
    "partial-pressure-saturated": "In air full of moisture",
    "sea-level": "Same partial pressure at sea level",
}


def oxygen_here(book: HandbookContext) -> tuple[Block, ...]:
    """What percentages of oxygen mean at the height of the site; nothing on low ground."""
    if not high_site(book.ledger):
        return ()
    kept = [way for way in WAYS if f"{key_of(LEVELS[0])}.{way}" in book.ledger]
    rows = (
        (book.fig(f"{key_of(level)}.display"), *(book.fig(f"{key_of(level)}.{way}") for way in kept))
        for level in LEVELS
    )
    return (
        table(
            ("Display shows", *(WAYS[way] for way in kept)),
            rows,
            caption="Oxygen at the height of this site",
            numeric=tuple(range(len(kept) + 1)),
        ),
        assumes(
            "The standard atmosphere at the site's altitude, or the stated pressure. Alarms and rules stay in percent; "
            "a percentage that is allowed here drives less oxygen into the blood than the same one at sea level.",
            "Moisture is reckoned by a formula that was recalled, not read, so it decides nothing.",
        ),
    )


def vapour_of(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    """How much of a liquid can be in still air over it, for the site and areas of their own temperature."""
    start = f"gas.{gas.id}"
    rows = [_vapour_row(book, inlines("the site"), "site.temperature", start)] if _known(book, start) else []
    for area in book.program.areas.values():
        if _known(book, f"area.{area.id}.{gas.id}"):
            name: Inlines = (book.link("area", area.id),)
            rows.append(_vapour_row(book, name, f"area.{area.id}.temperature", f"area.{area.id}.{gas.id}"))
    if not rows:
        return ()
    columns = ("At", "Temperature", "Vapour pressure", "Highest by volume", "Share of its LEL it can reach")
    return (
        head("Vapour over the liquid"),
        table(columns, rows, caption="Highest concentration in still air", numeric=(1, 2, 3, 4)),
        assumes("The pure liquid in still air at that temperature. Mist, foam and hot spots can exceed it."),
    )


def _known(book: HandbookContext, start: str) -> bool:
    return f"{start}.vapour-pressure" in book.ledger


def _vapour_row(book: HandbookContext, name: Inlines, temperature: str, start: str) -> tuple[Inlines, ...]:
    return (
        name,
        book.fig(temperature),
        *(book.fig(f"{start}.{part}") for part in ("vapour-pressure", "highest-vapour", "reachable-lel")),
    )


def reach_in(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """What the flammable hazards of an area can reach there, and limits of gas that is warm there."""
    rows: list[tuple[Inlines, ...]] = []
    warm: list[tuple[str, Inlines | None]] = []
    for hazard in area.hazards:
        gas = hazard.gas.value
        start = f"area.{area.id}.{gas}" if f"area.{area.id}.{gas}.reachable-lel" in book.ledger else f"gas.{gas}"
        if f"{start}.reachable-lel" in book.ledger and not (area.temperature and start.startswith("gas.")):
            name: Inlines = (book.link("gas", gas),)
            rows.append((name, book.fig(f"{start}.highest-vapour"), book.fig(f"{start}.reachable-lel")))
        warm.append((book.names[f"gas:{gas}"], book.maybe(f"gas.{gas}.lel.at-temperature.{area.id}")))
    made: list[Block] = []
    if rows:
        columns = ("Liquid", "Highest by volume", "Share of its LEL it can reach")
        made.append(table(columns, rows, caption="Vapour over the liquid, at the temperature here", numeric=(1, 2)))
    found = facts(*warm)
    if found.rows:
        made += [para("Warm gas burns at less. Lower explosive limit at the temperature here:"), found]
        made.append(
            assumes(
                "A law for paraffins that was recalled, not read. Instruments and alarms stay on the limit at room "
                "temperature."
            )
        )
    return (head("Vapour and warmth here"), *made) if made else ()
