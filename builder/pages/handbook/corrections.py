"""Tables of corrected readings and of windows; how strong check gas is beside the alarms, and its time in a hose."""

from collections.abc import Iterable

from builder.base.quantity import magnitude
from builder.pages.blocks import Block, Inlines, Table
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import REGULATORS, word
from builder.pages.handbook.parts import Row, inlines, listed, para, table
from builder.program.areas import Area
from builder.program.cylinders import Cylinder
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
    rows: list[Row] = [
        (
            book.link("sensor", sensor),
            listed(book.links("cylinder", same), mark=", "),
            book.program.checks[check].name if len(checks) == 1 else book.link("check", check),
            *(book.fig(family(cylinder=same[0], sensor=sensor, check=check)) for family in WINDOW),
        )
        for (sensor, check, *_), same in alike.items()
    ]
    columns = ("Sensor", "Cylinders", "Check", "Expected display", "From", "To")
    return table(columns, rows, caption=caption, numeric=(3, 4, 5), empty="no window can be computed")


NOT_SAID = "not entered: find out before gas is given"


def regulators_of(cylinder: Cylinder) -> Inlines:
    """The regulators kept for a cylinder, and for what each is."""
    return inlines("; or ".join(word(REGULATORS, given.value) for given in cylinder.regulators) or NOT_SAID)


def strength_of(book: HandbookContext, cylinder: Cylinder) -> tuple[Block, ...]:
    """What a bump test should show, as a multiple of the alarms it has to set off."""
    rows = [
        (book.link("sensor", sensor.id), small, book.fig(key))
        for sensor in book.program.sensors.values()
        for alarm, small in (("low", "lowest, for too little"), ("high", "highest, for rising gas"))
        if (key := keyed.BUMP_RATIO(cylinder=cylinder.id, sensor=sensor.id, alarm=alarm)) in book.ledger
    ]
    if not rows:
        return ()
    heads = ("Sensor", "Alarm", "Gas ÷ alarm")
    caption = "Its gas beside the alarms of the units bumped with it"
    return table(heads, rows, caption=caption, numeric=(2,)), para(fixed("cylinders.strength"))


def bumped_through_hose(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """How long gas would flow, were a bump test made through the hose of an area."""
    rows = [
        (
            book.link("model", model.id),
            book.link("check", check.id),
            book.fig(key),
            book.fig(keyed.HOSE_ALARMS_WITHIN(area=area.id, model=model.id, check=check.id), absent="not limited"),
        )
        for model in book.program.models_in(area)
        for check in book.program.checks.values()
        if (key := keyed.HOSE_GAS_TIME(area=area.id, model=model.id, check=check.id)) in book.ledger
    ]
    if not rows:
        return ()
    heads = ("Detector", "Check", "Gas flows for", "Alarms sound within")
    caption = "If gas is given at the end of the hose"
    return table(heads, rows, caption=caption, numeric=(2, 3)), para(fixed("areas.through-hose"))
