"""What a page of a model says of its air path, power, alarms, averages, log and of who hears it."""

from collections.abc import Iterator
from typing import TypeAlias

from builder.pages.blocks import Absent, Block, Inlines
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import CELLS, FIRES, WHEN_FULL, word
from builder.pages.handbook.parts import facts, head, inlines, listed, para, table
from builder.program.keys import families as keyed
from builder.program.models import Model
from builder.program.sensors import Sensor

Fact: TypeAlias = tuple[str, Inlines | None]
NOT_SAID: Inlines = (Absent("not entered: look in its manual"),)


def model_facts(book: HandbookContext, model: Model) -> tuple[Block, ...]:
    """All that is entered of a model, and what is not, in the order in which it is used."""
    return (
        facts(*_air(book, model), ("Manual", model.manual.value)),
        head("Power"),
        facts(*_power(book, model)),
        head("How it alarms"),
        facts(*_alarms(book, model)),
        *_noise(book, model),
        head("Averages and data log"),
        facts(*_averages(book, model), *_log(book, model)),
        para(fixed("detectors.averages")),
        *_alone(book, model),
    )


def fitted_facts(book: HandbookContext, sensor: Sensor) -> Iterator[Fact]:
    """What a kind of sensor needs beside gas."""
    yield "Settling time after fitting", book.maybe(keyed.SENSOR_SETTLES_IN(sensor=sensor.id))
    yield "Made for air pressure from", book.maybe(keyed.SENSOR_PRESSURE_FROM(sensor=sensor.id))
    yield "up to", book.maybe(keyed.SENSOR_PRESSURE_TO(sensor=sensor.id))
    poisons = ", ".join(given.value for given in sensor.poisoned_by)
    yield "Poisoned by", inlines(poisons) if poisons else None


def _air(book: HandbookContext, model: Model) -> Iterator[Fact]:
    yield "Sampling", inlines("pump and hose" if model.pump else "diffusion")
    yield "Warm-up after switching on", book.maybe(keyed.MODEL_WARM_UP(model=model.id)) or NOT_SAID
    yield "Rest after a jump in temperature", book.maybe(keyed.MODEL_AFTER_JUMP(model=model.id)) or NOT_SAID
    yield "Pump flow", book.maybe(keyed.MODEL_PUMP_FLOW(model=model.id))
    yield "Longest hose the pump draws through", book.maybe(keyed.MODEL_LONGEST_HOSE(model=model.id))
    yield "Hose supplied", book.maybe(keyed.MODEL_HOSE(model=model.id))
    yield "Bore of the hose", book.maybe(keyed.MODEL_HOSE_BORE(model=model.id))
    if model.pump is not None:
        yield "Keeps water and dust out", inlines(model.pump.keeps_out.value) if model.pump.keeps_out else NOT_SAID
    yield "Filter and trap hold", book.maybe(keyed.MODEL_TRAP_VOLUME(model=model.id))
    yield "so every wait is longer by", book.maybe(keyed.MODEL_TRAP_DELAY(model=model.id))
    yield "Low-flow alarm within", book.maybe(keyed.MODEL_FLOW_BLOCK(model=model.id))
    yield "Works from", book.maybe(keyed.MODEL_WORKS_FROM(model=model.id))
    yield "Works up to", book.maybe(keyed.MODEL_WORKS_TO(model=model.id))


def _power(book: HandbookContext, model: Model) -> Iterator[Fact]:
    for cells in model.battery.cells:
        name = "Cells" if cells.runtime is None else "Or instead"
        yield name, inlines(f"{word(CELLS, cells.kind.value)}: {cells.type.value}; {cells.change_at.value}")
    if not model.battery.cells:
        yield "Cells", NOT_SAID
    yield "Battery runtime", book.fig(keyed.MODEL_RUNTIME(model=model.id))
    yield "in the coldest place it is used", book.maybe(keyed.MODEL_RUNTIME_COLD(model=model.id))
    yield "on the cells taken instead", book.maybe(keyed.MODEL_RUNTIME_INSTEAD(model=model.id))
    yield "left after the longest shift", book.maybe(keyed.MODEL_RUNTIME_MARGIN(model=model.id))


def _alarms(book: HandbookContext, model: Model) -> Iterator[Fact]:
    yield "An alarm sounds", inlines(word(FIRES, model.alarm_fires.value))
    modes = model.alarm_modes
    yield "It alarms by", listed(inlines(way.value) for way in modes.ways) if modes else NOT_SAID
    yield "How it ends", inlines(modes.latching.value) if modes else NOT_SAID
    yield "Loudness", book.maybe(keyed.MODEL_LOUDNESS(model=model.id)) or NOT_SAID


def _noise(book: HandbookContext, model: Model) -> tuple[Block, ...]:
    rows = [
        (book.link("area", area.id), book.fig(keyed.AREA_NOISE(area=area.id)), book.fig(key))
        for area in book.program.areas.values()
        if (key := keyed.LOUDNESS_MARGIN(area=area.id, model=model.id)) in book.ledger
    ]
    heads = ("Area", "Noise there", "The alarm above it")
    return (table(heads, rows, caption="Loud enough?", numeric=(1, 2)),) if rows else ()


def _averages(book: HandbookContext, model: Model) -> Iterator[Fact]:
    yield "TWA is averaged over", book.maybe(keyed.MODEL_TWA_OVER(model=model.id)) or NOT_SAID
    yield "STEL is averaged over", book.maybe(keyed.MODEL_STEL_OVER(model=model.id)) or NOT_SAID
    averages = model.averages
    yield "They begin anew", inlines(averages.start_again.value) if averages else NOT_SAID


def _log(book: HandbookContext, model: Model) -> Iterator[Fact]:
    log = model.log
    if log is None:
        yield "Data log", inlines("none")
        return
    yield "Data log holds", book.maybe(keyed.MODEL_LOG_CAPACITY(model=model.id))
    yield "A reading is kept every", book.maybe(keyed.MODEL_LOG_INTERVAL(model=model.id)) or NOT_SAID
    yield "What it keeps", inlines(log.keeps.value) if log.keeps else NOT_SAID
    yield "Once it is full", inlines(word(WHEN_FULL, log.when_full.value)) if log.when_full else NOT_SAID
    yield "Downloaded every", book.interval(keyed.MODEL_DOWNLOAD_EVERY(model=model.id), log.download_every)
    yield "Room left in the log at a download", book.maybe(keyed.MODEL_LOG_MARGIN(model=model.id))
    yield "Its clock shows", inlines(log.clock.zone.value) if log.clock else NOT_SAID
    yield "and may be off after a month by", book.maybe(keyed.MODEL_CLOCK_DRIFT(model=model.id))


def _alone(book: HandbookContext, model: Model) -> tuple[Block, ...]:
    """Seconds from the last movement to help, and who hears the alarm."""
    if model.lone_worker is None and model.relay is None:
        return ()
    relay = model.relay
    way = inlines(relay.to.value + (f", by {relay.by.value}" if relay.by else "")) if relay else NOT_SAID
    return (
        head("Who hears it"),
        facts(
            ("No motion for", book.maybe(keyed.MODEL_MOTIONLESS(model=model.id))),
            ("then a warning for", book.maybe(keyed.MODEL_WARNING(model=model.id))),
            ("so the full alarm comes after", book.maybe(keyed.MODEL_LONE_WORKER_TOTAL(model=model.id))),
            ("An alarm reaches", way),
            ("within", book.maybe(keyed.MODEL_RELAY_WITHIN(model=model.id))),
            ("who acts on it within", book.maybe(keyed.MODEL_RELAY_ANSWERED(model=model.id))),
            ("so somebody knows after", book.maybe(keyed.MODEL_KNOWN_AFTER(model=model.id))),
            ("Help reaches the farthest place in", book.maybe(keyed.MODEL_RELAY_HELP(model=model.id))),
            ("so help is there after", book.maybe(keyed.MODEL_HELP_AFTER(model=model.id))),
            ("A lost signal is reported after", book.maybe(keyed.MODEL_RELAY_LOST(model=model.id))),
            ("Test of the relay", relay.test.value if relay and relay.test else None),
        ),
    )
