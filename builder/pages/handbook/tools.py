"""The forms that compute in the reader's browser: which figures they multiply by, and how they round."""

from builder.figures.figure import Figure
from builder.figures.formulas.registry import record_of
from builder.figures.formulas.response import true_value
from builder.figures.roundings import chart
from builder.figures.scales import ppm_of_one
from builder.pages.blocks import Block
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.reader_tools import Converter, Correction, Corrector, ToolScale
from builder.program.areas import Area
from builder.program.keys.families import FACTOR, GAS_MOLAR_MASS, MODEL_FULL_SCALE, READING_TRUE, SETPOINT_VAPOUR
from builder.program.sensors import FLAMMABLE, VAPOUR

TRUTH = record_of(true_value).id


def corrector(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """The form that corrects a reading in an area; nothing where no reading has a correction."""
    made = (*_flammable(book, area), *_vapours(book, area))
    return (Corrector(area=area.name, corrections=made),) if made else ()


def _flammable(book: HandbookContext, area: Area) -> tuple[Correction, ...]:
    found = (_first(book, READING_TRUE.start(area=area.id, gas=hazard.gas.value)) for hazard in area.hazards)
    return tuple(
        _correction(book, area, hazard.gas.value, FLAMMABLE, figure)
        for hazard, figure in zip(area.hazards, found, strict=True)
        if figure is not None
    )


def _vapours(book: HandbookContext, area: Area) -> tuple[Correction, ...]:
    made = []
    for hazard in area.hazards:
        gas = hazard.gas.value
        figures = (book.ledger.get(SETPOINT_VAPOUR(area=area.id, gas=gas, alarm=alarm)) for alarm in ("low", "high"))
        figure = next((found for found in figures if found is not None), None)
        if figure is not None and figure.formula == TRUTH:
            made.append(_correction(book, area, gas, VAPOUR, figure))
    return tuple(made)


def _first(book: HandbookContext, prefix: str) -> Figure | None:
    """Any corrected reading: they all have the same factor and rounding."""
    return next((figure for figure in book.ledger.under(prefix) if figure.formula == TRUTH), None)


def _correction(book: HandbookContext, area: Area, gas: str, channel: str, like: Figure) -> Correction:
    """A correction by the factor, step and direction of a figure that the handbook prints."""
    factor = next(part.figure for part in like.inputs if FACTOR.read(part.figure))
    fitted = book.program.fitted_in(area, channel)
    scales = (MODEL_FULL_SCALE(model=model.id, sensor=sensor.id) for model, _, sensor in fitted)
    return Correction(
        gas=book.names[f"gas:{gas}"],
        channel=book.channel_name(channel),
        factor=factor,
        like=like.key,
        full_scales=tuple(key for key in dict.fromkeys(scales) if key in book.ledger.figures),
    )


def converter(book: HandbookContext) -> tuple[Block, ...]:
    """The form that converts between units, for every gas of the site."""
    scales = tuple(
        ToolScale(gas=gas.name, ppm_of_one=tuple(ppm_of_one(book.ledger, gas.id).items()))
        for gas in book.program.gases.values()
        if GAS_MOLAR_MASS(gas=gas.id) in book.ledger
    )
    return (Converter(scales=scales, rounding=chart()),) if scales else ()
