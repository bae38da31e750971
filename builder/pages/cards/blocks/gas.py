"""Blocks about gas: corrections, conversions, cylinders, windows of a bump test."""

from collections.abc import Iterable, Iterator

from builder.base.quantity import magnitude
from builder.pages.blocks import Block, Fig, Inline, Inlines, Paragraph, Table
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, CardRow, make, words
from builder.pages.charts.readings import reading_charts, shown_readings
from builder.pages.compositions import CardBlock
from builder.pages.handbook.labels import alarm_word
from builder.program.cards import BlockSpec
from builder.program.checks import Check
from builder.program.cylinders import Cylinder
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part
from builder.program.sensors import FLAMMABLE


@composes("corrections")
def corrections(context: CardContext, spec: BlockSpec) -> CardBlock:
    """True %LEL for displayed %LEL, a column a gas; both alarms have their rows, whatever readings are asked for."""
    area = context.area.id
    named = [given.value for given in spec.gases]
    gases = [gas for gas in named or [h.gas.value for h in context.area.hazards] if _has_readings(context, area, gas)]
    missing = [gas for gas in named if gas not in gases]
    asked = tuple(keyed.READING(n=number_part(magnitude(given.value, "%LEL"))) for given in spec.readings)
    rows: list[CardRow] = []
    for reading in shown_readings(context.ledger, area, asked):
        shown: Inlines = (Fig(reading.key, bare=True, decisive=True),)
        cells = (context.decisive(reading.true(area, gas), bare=True) for gas in gases)
        told = alarm_word(reading.alarm, context.text, FLAMMABLE) if reading.alarm else ""
        rows.append((shown, *cells, words(told)))
    names = tuple(context.gas(gas) for gas in gases)
    table = Table(
        columns=(context.text("Display shows"), *names, ""),
        rows=tuple(rows),
        numeric=tuple(range(len(gases) + 1)),
        kind="matrix",
        empty=context.text("no corrections"),
    )
    note = context.words("All in %LEL on the site's basis. True value is what counts.")
    return make(context, spec, context.text("What is really there"), (table, Paragraph(note), *_lost(context, missing)))


@composes("chart")
def chart(context: CardContext, spec: BlockSpec) -> CardBlock:
    """True against displayed %LEL, a line a gas."""
    named = [given.value for given in spec.gases]
    found = reading_charts(context, context.ledger, context.area, named)
    lost = [gas for gas in named if not _has_readings(context, context.area.id, gas)]
    advice = "Up from the reading, then left. Gas not known: take the highest line." if found else "No corrections."
    blocks: tuple[Block, ...] = (*found, Paragraph(context.words(advice)), *_lost(context, lost))
    return make(context, spec, context.text("From the display to what is there"), blocks)


def _lost(context: CardContext, gases: Iterable[str]) -> list[Paragraph]:
    return [Paragraph(context.words("{gas}: not seen, no correction.", gas=context.gas(gas))) for gas in gases]


def _has_readings(context: CardContext, area: str, gas: str) -> bool:
    return any(True for _ in context.ledger.under(keyed.READING_TRUE.start(area=area, gas=gas)))


@composes("conversions")
def conversions(context: CardContext, spec: BlockSpec) -> CardBlock:
    """LEL by volume and mass of one ppm."""
    rows: list[CardRow] = []
    for given in spec.gases:
        gas, lel = given.value, keyed.GAS_LEL(gas=given.value)
        limit = context.fig(lel) if lel in context.ledger else words("–")
        rows.append((words(context.gas(gas)), limit, context.fig(keyed.GAS_MASS_PER_PPM(gas=gas))))
    table = context.table(("Gas", "LEL", "One ppm is"), rows, numeric=(1, 2), empty="no gases")
    return make(context, spec, context.text("Conversions"), (table,))


@composes("cylinder")
def cylinder(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What a cylinder holds and until when."""
    if spec.cylinder is None:
        raise ValueError("a cylinder block names its cylinder")
    bottle = context.program.cylinders[spec.cylinder.value]
    rows: list[CardRow] = []
    for gas in (component.gas.value for component in bottle.components):
        lel = keyed.CYLINDER_GAS_LEL(cylinder=bottle.id, gas=gas)
        share = context.fig(lel) if lel in context.ledger and _flammable(context, gas) else words("–")
        certified = context.decisive(keyed.CYLINDER_GAS(cylinder=bottle.id, gas=gas))
        rows.append((words(context.gas(gas)), certified, share))
    table = context.table(("Gas", "Certified", "Share of LEL"), rows, numeric=(1, 2))
    last = _last_day(context, bottle)
    title = context.text("Cylinder {cylinder}", cylinder=bottle.id.upper())
    return make(context, spec, title, (table, Paragraph(last)))


def _flammable(context: CardContext, gas: str) -> bool:
    """Whether a sensor of the flammable channel is adjusted with this gas."""
    sensors = context.program.sensors.values()
    return any(sensor.channel.value == FLAMMABLE and sensor.calibrated_with.value == gas for sensor in sensors)


@composes("bump")
def bump(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What each sensor must show while the gas of one cylinder flows."""
    if spec.cylinder is None:
        raise ValueError("a bump block names its cylinder")
    bottle = context.program.cylinders[spec.cylinder.value]
    rows: list[CardRow] = []
    asked = context.program.checks[spec.check.value] if spec.check else None
    for check, sensor, name in _windows(context, bottle.id, asked):
        low, high = (
            family(cylinder=bottle.id, sensor=sensor, check=check.id) for family in (keyed.WINDOW_FROM, keyed.WINDOW_TO)
        )
        rows.append((words(name), context.decisive(low, bare=True), context.decisive(high)))
    times = [check for check in context.program.checks.values() if _is_asked(check, asked)]
    table = context.table(("Sensor", "From", "To"), rows, numeric=(1, 2), empty="no window for this detector")
    flow = [
        context.sentence("Let gas flow {time}.", time=context.decisive(keyed.CHECK_GAS_TIME(check=check.id)))
        for check in times
    ]
    if not any(block.name == "cylinder" and block.cylinder == spec.cylinder for block in context.card.blocks):
        flow += _held(context, bottle)
    title = context.text("Bump test with {cylinder}", cylinder=bottle.id.upper())
    if asked is not None and asked.kind != "bump-test":  # the name that the site gives it, so no word of another check
        title = f"{context.named(asked)}: {context.text('Cylinder {cylinder}', cylinder=bottle.id.upper())}"
    return make(context, spec, title, (table, *(Paragraph(line) for line in flow)))


def _held(context: CardContext, bottle: Cylinder) -> list[Inlines]:
    """What a cylinder holds, so that another gas in its place is met, and until when."""
    name = bottle.id.upper()
    parts: list[Inline] = []
    for component in bottle.components:
        share = context.fig(keyed.CYLINDER_GAS(cylinder=bottle.id, gas=component.gas.value))
        parts += words(context.wording.comma if parts else "")
        parts += (*words(f"{context.gas(component.gas.value)} "), *share)
    said = context.sentence("{cylinder} holds {parts}.", cylinder=name, parts=tuple(parts))
    return [said, _last_day(context, bottle)]


def _last_day(context: CardContext, bottle: Cylinder) -> Inlines:
    return context.sentence("Last day of use {day}.", day=context.decisive(keyed.CYLINDER_EXPIRES(cylinder=bottle.id)))


def _is_asked(check: Check, asked: Check | None) -> bool:
    """Windows of one check must never stand for those of another; a bump test is meant where none is named."""
    return check.kind == "bump-test" if asked is None else check is asked


def _windows(context: CardContext, bottle: str, asked: Check | None) -> Iterator[tuple[Check, str, str]]:
    models = context.models or tuple(context.program.models.values())
    seen: set[str] = set()
    for check in context.program.checks.values():
        for model in models:
            for _, sensor in context.program.fitted(model):
                key = keyed.WINDOW_FROM(cylinder=bottle, sensor=sensor.id, check=check.id)
                if _is_asked(check, asked) and key in context.ledger and key not in seen:
                    seen.add(key)
                    yield check, sensor.id, context.named(sensor)
