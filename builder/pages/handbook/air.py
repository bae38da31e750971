"""Tables about the air itself: oxygen at the height of the site, vapours of liquids, gas that is warm."""

from collections.abc import Callable

from builder.figures.topics.oxygen import LEVELS, high_site
from builder.pages.blocks import Block, Inlines
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, assumes, facts, head, inlines, para, table
from builder.program.areas import Area
from builder.program.gases import Gas
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part

WAYS: tuple[tuple[Callable[[str], str], str], ...] = (
    (lambda n: keyed.OXYGEN_PARTIAL(n=n), "Partial pressure, dry air"),
    (lambda n: keyed.OXYGEN_PARTIAL_WET(n=n, air="humid"), "At the humidity of the site"),
    (lambda n: keyed.OXYGEN_PARTIAL_WET(n=n, air="saturated"), "In air full of moisture"),
    (lambda n: keyed.OXYGEN_SEA_LEVEL(n=n), "Same partial pressure at sea level"),
)
"""Key for a displayed level, and what it is."""
SITE_VAPOUR = (keyed.GAS_VAPOUR_PRESSURE, keyed.GAS_HIGHEST_VAPOUR, keyed.GAS_REACHABLE_LEL)
AREA_VAPOUR = (keyed.AREA_VAPOUR_PRESSURE, keyed.AREA_HIGHEST_VAPOUR, keyed.AREA_REACHABLE_LEL)


def oxygen_here(book: HandbookContext) -> tuple[Block, ...]:
    """What percentages of oxygen mean at the height of the site; nothing on low ground."""
    if not high_site(book.ledger):
        return ()
    levels = tuple(number_part(level) for level in LEVELS)
    kept = [(key, words) for key, words in WAYS if key(levels[0]) in book.ledger]
    rows = ((book.fig(keyed.OXYGEN_DISPLAY(n=n)), *(book.fig(key(n)) for key, _ in kept)) for n in levels)
    columns = ("Display shows", *(words for _, words in kept))
    numeric = tuple(range(len(columns)))
    return (
        table(columns, rows, caption="Oxygen at the height of this site", numeric=numeric),
        assumes(fixed("air.standard-atmosphere"), fixed("air.moisture")),
    )


def vapour_of(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    """How much of a liquid can be in still air over it, for the site and areas of their own temperature."""
    here = [family(gas=gas.id) for family in SITE_VAPOUR]
    rows = [_vapour_row(book, inlines("the site"), keyed.SITE_TEMPERATURE(), here)] if here[0] in book.ledger else []
    for area in book.program.areas.values():
        there = [family(area=area.id, gas=gas.id) for family in AREA_VAPOUR]
        if there[0] in book.ledger:
            name: Inlines = (book.link("area", area.id),)
            rows.append(_vapour_row(book, name, keyed.AREA_TEMPERATURE(area=area.id), there))
    if not rows:
        return ()
    columns = ("At", "Temperature", "Vapour pressure", "Highest by volume", "Share of its LEL it can reach")
    return (
        head("Vapour over the liquid"),
        table(columns, rows, caption="Highest concentration in still air", numeric=(1, 2, 3, 4)),
        assumes(fixed("air.still-air")),
    )


def _vapour_row(book: HandbookContext, name: Inlines, temperature: str, keys: list[str]) -> Row:
    return (name, book.fig(temperature), *map(book.fig, keys))


def reach_in(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """What the flammable hazards of an area can reach there, and limits of gas that is warm there."""
    rows: list[Row] = []
    warm: list[tuple[str, Inlines | None]] = []
    for hazard in area.hazards:
        gas = hazard.gas.value
        _, highest, share = (family(area=area.id, gas=gas) for family in AREA_VAPOUR)
        if share not in book.ledger and not area.temperature:
            _, highest, share = (family(gas=gas) for family in SITE_VAPOUR)
        if share in book.ledger:
            rows.append((book.link("gas", gas), book.fig(highest), book.fig(share)))
        warm.append((book.names[f"gas:{gas}"], book.maybe(keyed.GAS_LEL_IN_HEAT(gas=gas, area=area.id))))
    made: list[Block] = []
    if rows:
        columns = ("Liquid", "Highest by volume", "Share of its LEL it can reach")
        made.append(table(columns, rows, caption="Vapour over the liquid, at the temperature here", numeric=(1, 2)))
    found = facts(*warm)
    if found.rows:
        made += [para("Warm gas burns at less. Lower explosive limit at the temperature here:"), found]
        made.append(assumes(fixed("air.warm-gas")))
    return (head("Vapour and warmth here"), *made) if made else ()
