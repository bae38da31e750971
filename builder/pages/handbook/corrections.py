"""Tables of corrected readings and of windows, used by area pages and the charts."""

from collections.abc import Iterable

from builder.base.quantity import magnitude
from builder.pages.blocks import Inlines, Table
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import inlines, listed, table
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part

WINDOW = (keyed.WINDOW_EXPECTED, keyed.WINDOW_FROM, keyed.WINDOW_TO)


def reading_corrections(book: HandbookContext, area: Area) -> Table | None:
    """True values for displayed readings, a column a gas; ``None`` where every display shows what is there."""
    shown = tuple(number_part(magnitude(given.value, "%LEL")) for given in book.program.site.readings)
    gases = [
        hazard.gas.value for hazard in area.hazards if any(_differs(book, area, hazard.gas.value, n) for n in shown)
    ]
    if not gases:
        return None
    rows = (
        (book.fig(keyed.READING(n=n)), *(book.fig(keyed.READING_TRUE(area=area.id, gas=gas, n=n)) for gas in gases))
        for n in shown
    )
    names = [book.names[f"gas:{gas}"] for gas in gases]
    return table(
        ("Display shows", *(f"{name} is really" for name in names)),
        rows,
        caption=f"Corrected readings, {area.name}",
        numeric=tuple(range(len(gases) + 1)),
        kind="matrix",
    )


def _differs(book: HandbookContext, area: Area, gas: str, n: str) -> bool:
    """Whether a display shows another number of this gas than is there."""
    true, shown = book.ledger.get(keyed.READING_TRUE(area=area.id, gas=gas, n=n)), book.ledger.get(keyed.READING(n=n))
    return true is not None and (shown is None or true.rounded != shown.rounded)


def window_table(
    book: HandbookContext, cylinders: Iterable[str], checks: tuple[str, ...], caption: str, *, only: str = ""
) -> Table:
    """Acceptance windows that these cylinders give in these checks, for every sensor or only one.

    Cylinders that give the same window of a sensor share a row.
    """
    alike: dict[tuple[str, ...], list[str]] = {}
    for cylinder in cylinders:
        for check in checks:
            for sensor in (only,) if only else book.program.sensors:
                keys = [family(cylinder=cylinder, sensor=sensor, check=check) for family in WINDOW]
                if any(key in book.ledger for key in keys):
                    printed = (found.printed if (found := book.ledger.get(key)) else "" for key in keys)
                    alike.setdefault((sensor, check, *printed), []).append(cylinder)
    rows: list[tuple[Inlines, ...]] = [
        (
            (book.link("sensor", sensor),),
            listed(book.links("cylinder", same), mark=", "),
            inlines(book.program.checks[check].name) if len(checks) == 1 else (book.link("check", check),),
            *(book.fig(family(cylinder=same[0], sensor=sensor, check=check)) for family in WINDOW),
        )
        for (sensor, check, *_), same in alike.items()
    ]
    columns = ("Sensor", "Cylinders", "Check", "Expected display", "From", "To")
    return table(columns, rows, caption=caption, numeric=(3, 4, 5), empty="no window can be computed")
