"""Corrected readings, as table and form; windows; how strong check gas is beside the alarms, and its time in a hose."""

from collections.abc import Iterable, Sequence

from builder.base.quantity import magnitude
from builder.figures.figure import Figure
from builder.figures.formulas.registry import record_of
from builder.figures.formulas.response import true_value
from builder.pages.blocks import Block, Inlines, Table
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import REGULATORS, word
from builder.pages.handbook.parts import Row, inlines, listed, para, table
from builder.pages.reader_tools import Correction, Corrector
from builder.program.areas import Area
from builder.program.cylinders import Cylinder
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part
from builder.program.sensors import FLAMMABLE, VAPOUR

WINDOW = (keyed.WINDOW_EXPECTED, keyed.WINDOW_FROM, keyed.WINDOW_TO)


def readings_shown(book: HandbookContext) -> tuple[str, ...]:
    """The displayed readings that are corrected, as keys have them."""
    return tuple(number_part(magnitude(given.value, "%LEL")) for given in book.program.site.readings)


def reading_corrections(book: HandbookContext, area: Area) -> Table | None:
    """True values for displayed readings, a column a gas; ``None`` where every display shows what is there."""
    shown, gases = readings_shown(book), (hazard.gas.value for hazard in area.hazards)
    there = [
        (book.names[f"gas:{gas}"], [keyed.READING_TRUE(area=area.id, gas=gas, n=n) for n in shown])
        for gas in gases
        if any(_differs(book, area, gas, n) for n in shown)
    ]
    return true_values(book, there, f"Corrected readings, {area.name}") if there else None


def true_values(book: HandbookContext, there: Sequence[tuple[str, Sequence[str]]], caption: str) -> Table:
    """What is there when a display shows each of its readings.

    :param there: what the display shows, and keys of what is really there, a reading each.
    """
    rows = (
        (book.fig(keyed.READING(n=n)), *map(book.fig, keys))
        for n, *keys in zip(readings_shown(book), *(keys for _, keys in there), strict=True)
    )
    columns = ("Display shows", *(f"{name} is really" for name, _ in there))
    return table(columns, rows, caption=caption, numeric=tuple(range(len(columns))), kind="matrix")


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


# ---- the form that corrects in the reader's browser ------------------------------------
TRUTH = record_of(true_value).id


def corrector(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """The form that corrects a reading in an area; nothing where no reading has a correction."""
    made = (*_flammable(book, area), *_vapours(book, area))
    return (Corrector(area=area.name, corrections=made),) if made else ()


def _flammable(book: HandbookContext, area: Area) -> tuple[Correction, ...]:
    found = (_first(book, keyed.READING_TRUE.start(area=area.id, gas=hazard.gas.value)) for hazard in area.hazards)
    return tuple(
        _correction(book, area, hazard.gas.value, FLAMMABLE, figure)
        for hazard, figure in zip(area.hazards, found, strict=True)
        if figure is not None
    )


def _vapours(book: HandbookContext, area: Area) -> tuple[Correction, ...]:
    made = []
    for hazard in area.hazards:
        gas = hazard.gas.value
        figures = (
            book.ledger.get(keyed.SETPOINT_VAPOUR(area=area.id, gas=gas, alarm=alarm)) for alarm in ("low", "high")
        )
        figure = next((found for found in figures if found is not None), None)
        if figure is not None and figure.formula == TRUTH:
            made.append(_correction(book, area, gas, VAPOUR, figure))
    return tuple(made)


def _first(book: HandbookContext, prefix: str) -> Figure | None:
    """Any corrected reading: they all have the same factor and rounding."""
    return next((figure for figure in book.ledger.under(prefix) if figure.formula == TRUTH), None)


def _correction(book: HandbookContext, area: Area, gas: str, channel: str, like: Figure) -> Correction:
    """A correction by the factor, step and direction of a figure that the handbook prints."""
    factor = next(part.figure for part in like.inputs if keyed.FACTOR.read(part.figure))
    fitted = book.program.fitted_in(area, channel)
    scales = (keyed.MODEL_FULL_SCALE(model=model.id, sensor=sensor.id) for model, _, sensor in fitted)
    return Correction(
        gas=book.names[f"gas:{gas}"],
        channel=book.channel_name(channel),
        factor=factor,
        like=like.key,
        full_scales=tuple(key for key in dict.fromkeys(scales) if key in book.ledger.figures),
    )
