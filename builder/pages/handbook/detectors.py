"""Detectors: the index of models, sensors and units, one page a model and one a kind of sensor."""

from collections import Counter
from collections.abc import Iterator

from builder.pages.blocks import Block, Inlines, Table
from builder.pages.compositions import Page
from builder.pages.handbook.corrections import window_table
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import PRINCIPLES, STATES, capital, word
from builder.pages.handbook.mixtures import cross_of
from builder.pages.handbook.model_facts import fitted_facts, model_facts
from builder.pages.handbook.parts import Row, assumes, facts, head, inlines, listed, page, para, subhead, table, to
from builder.pages.handbook.registers import ROWS, by_place, many_cylinders, many_units, places, windows_elsewhere
from builder.program.inventory import Unit
from builder.program.keys import families as keyed
from builder.program.models import Model
from builder.program.sensors import MULTIPLY, Sensor

STATED = (keyed.MODEL_FULL_SCALE, keyed.MODEL_RESOLUTION, keyed.MODEL_T90)
"""What is said of a sensor in a model."""


def detector_pages(book: HandbookContext) -> Iterator[Page]:
    """The index, the models and the kinds of sensor; units have their own module."""
    blocks: tuple[Block, ...] = (
        head("Models"),
        _models(book),
        head("Kinds of sensor"),
        _kinds(book),
        head("Units"),
        *units_of(book, tuple(book.program.units.values())),
    )
    yield index_page("detectors", fixed("detectors.lead"), blocks)
    for model in book.program.models.values():
        yield _model_page(book, model)
    for sensor in book.program.sensors.values():
        about: tuple[Block, ...] = (
            *book.found(f"sensor:{sensor.id}"),
            _sensor_facts(book, sensor),
            *_factors(book, sensor),
            *cross_of(book, sensor),
            head("What must be displayed in a check"),
            _windows(book, sensor),
        )
        lead = fixed("detectors.sensor")
        yield page(f"sensor:{sensor.id}", sensor.name, "detectors", lead, about)


def units_of(book: HandbookContext, units: tuple[Unit, ...]) -> tuple[Block, ...]:
    """These units; on a big site the places they are kept in, and by name only those that are in no use."""
    if not many_units(book):
        return (unit_table(book, units),)
    idle = tuple(unit for unit in units if not unit.checked)[:ROWS]
    every = len(units) == len(book.program.units)
    return (
        *((by_place(book),) if every else (_counted(book, units),)),
        para(fixed("detectors.places")),
        subhead("Neither in use nor spare"),
        unit_table(book, idle),
    )


def _counted(book: HandbookContext, units: tuple[Unit, ...]) -> Table:
    """How many of these units each place has."""
    counted = Counter(unit.area.value if unit.area else "" for unit in units)
    rows = (
        (to(place.reference(), place.name), str(counted[place.area])) for place in places(book) if counted[place.area]
    )
    return table(("Place", "Units of this model"), rows, numeric=(1,), empty="no unit")


def unit_table(book: HandbookContext, units: tuple[Unit, ...]) -> Table:
    """Units with serial, model, state and place."""
    rows = (
        (
            book.link("unit", unit.id),
            unit.serial.value,
            book.link("model", unit.model.value),
            word(STATES, unit.state.value),
            book.place(unit),
        )
        for unit in units
    )
    return table(("Unit", "Serial", "Model", "State", "Place"), rows, empty="no unit")


def _models(book: HandbookContext) -> Table:
    rows = (
        (
            book.link("model", model.id),
            listed(book.channel(sensor.channel.value) for _, sensor in book.program.fitted(model)),
            "pumped" if model.pump else "diffusion",
            listed(book.links("area", _allowed_in(book, model))),
        )
        for model in book.program.models.values()
    )
    return table(("Model", "Measures", "Sampling", "Allowed in"), rows)


def _kinds(book: HandbookContext) -> Table:
    rows = (
        (
            book.link("sensor", sensor.id),
            book.channel(sensor.channel.value),
            sensor.principle.replace("-", " "),
            listed(book.links("model", _fitted_to(book, sensor)), "no model"),
        )
        for sensor in book.program.sensors.values()
    )
    return table(("Kind of sensor", "Channel", "Principle", "In models"), rows)


def _allowed_in(book: HandbookContext, model: Model) -> tuple[str, ...]:
    areas = book.program.areas.values()
    return tuple(area.id for area in areas if model.id in {given.value for given in area.detectors})


def _fitted_to(book: HandbookContext, sensor: Sensor) -> tuple[str, ...]:
    models = book.program.models.values()
    return tuple(model.id for model in models if sensor.id in {p.sensor.value for p in model.positions})


# ---- models -------------------------------------------------------------------------


def _model_page(book: HandbookContext, model: Model) -> Page:
    units = tuple(unit for unit in book.program.units.values() if unit.model.value == model.id)
    blocks: tuple[Block, ...] = (
        *book.found(f"model:{model.id}"),
        *model_facts(book, model),
        head("Sensors in it"),
        _positions(book, model),
        *_model_uses(book, model),
        head("Units"),
        *units_of(book, units),
    )
    lead = fixed("detectors.model")
    return page(f"model:{model.id}", model.name, "detectors", lead, blocks)


def _positions(book: HandbookContext, model: Model) -> Block:
    rows: Iterator[Row] = (
        (
            str(position.number.value),
            book.link("sensor", sensor.id),
            book.channel(sensor.channel.value),
            *(book.fig(family(model=model.id, sensor=sensor.id)) for family in STATED),
        )
        for position, sensor in book.program.fitted(model)
    )
    blank: Iterator[Row] = ((one.value, "blank plug, no sensor", *("",) * 4) for one in model.blanks)
    heads = ("Position", "Sensor", "Channel", "Full scale", "Resolution", "T90")
    return table(heads, (*rows, *blank), numeric=(3, 4, 5))


def _model_uses(book: HandbookContext, model: Model) -> tuple[Block, ...]:
    procedures = book.program.procedures.values()
    own = (p.id for p in procedures if model.id in {given.value for given in p.models})
    every = (p.id for p in procedures if not p.models)
    cards = (card.id for card in book.program.cards.values() if card.model and card.model.value == model.id)
    return (
        head("Where it is used"),
        facts(
            ("Allowed in", listed(book.links("area", _allowed_in(book, model)))),
            ("Procedures for this model", listed(book.links("procedure", own))),
            ("Procedures for every model", listed(book.links("procedure", every))),
            ("Pocket cards for this model", listed(book.links("card", cards))),
        ),
    )


# ---- kinds of sensor -------------------------------------------------------------------


def _windows(book: HandbookContext, sensor: Sensor) -> Block:
    if many_cylinders(book):
        return windows_elsewhere()
    return window_table(book, tuple(book.program.cylinders), tuple(book.program.checks), "Windows", only=sensor.id)


def _sensor_facts(book: HandbookContext, sensor: Sensor) -> Block:
    models = _fitted_to(book, sensor)
    areas = (a.id for a in book.program.areas.values() if any(given.value in models for given in a.detectors))
    blind = book.links("gas", sensor.blind_to)
    return facts(
        ("Principle", capital(word(PRINCIPLES, sensor.principle))),
        ("Channel", book.channel(sensor.channel.value)),
        ("Display scaled in", book.link("gas", sensor.shows.value)),
        ("Adjusted with", book.link("gas", sensor.calibrated_with.value)),
        ("Needs at least this much oxygen", book.maybe(keyed.SENSOR_MINIMUM_OXYGEN(sensor=sensor.id))),
        ("Lamp energy", book.maybe(keyed.SENSOR_LAMP(sensor=sensor.id))),
        ("Life", book.interval(keyed.SENSOR_LIFE(sensor=sensor.id), sensor.life)),
        *fitted_facts(book, sensor),
        ("Blind to", listed(blind) if blind else None),
        ("Note", sensor.note or None),
        ("In models", listed(book.links("model", models), "no model")),
        ("Used in", listed(book.links("area", areas), "no area")),
    )


def _factors(book: HandbookContext, sensor: Sensor) -> tuple[Block, ...]:
    table_of = (sensor.factors.relative_to.value, *sensor.factors.table) if sensor.factors else ()
    gases = dict.fromkeys((sensor.shows.value, *table_of))
    rows = ((book.link("gas", gas), book.fig(keyed.FACTOR(sensor=sensor.id, gas=gas))) for gas in gases)
    made: list[Block] = [
        head("Response factors"),
        table(
            ("Gas", "Multiply the reading by"),
            rows,
            numeric=(1,),
            caption="Known factors; the sensor answers to other gases too, by how much is not known here",
        ),
    ]
    if sensor.factors:
        source = sensor.factors.source.value.rstrip(".")
        made.append(
            assumes(
                inlines("True value = reading × factor, with the display scaled in ",
                     book.link("gas", sensor.shows.value), ".", _as_printed(book, sensor)),
                fixed("detectors.factors", source=source),
            )
        )  # fmt: skip
    return tuple(made)


def _as_printed(book: HandbookContext, sensor: Sensor) -> Inlines:
    """How the source prints its table, where it had to be turned into factors of this display."""
    factors = sensor.factors
    if factors is None or (factors.relative_to.value == sensor.shows.value and factors.convention.value == MULTIPLY):
        return ()
    form = "factors" if factors.convention.value == MULTIPLY else "relative responses"
    return inlines(f" The source prints {form} relative to ", book.link("gas", factors.relative_to.value), ".")
