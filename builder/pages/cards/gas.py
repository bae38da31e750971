"""Blocks about gas: corrections, conversions, cylinders, windows of a bump test."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from builder.base.quantity import magnitude
from builder.base.rounding import plain
from builder.pages.blocks import Block, CardBlock, Fig, Inlines, Paragraph, Table
from builder.pages.cards.scene import Scene, make, words
from builder.pages.charts.readings import Voice, reading_charts
from builder.program.cards import BlockSpec
from builder.program.checks import Check
from builder.program.sensors import FLAMMABLE


def corrections(scene: Scene, spec: BlockSpec) -> CardBlock:
    """True %LEL for displayed %LEL, a column a gas."""
    area = scene.area.id
    named = [given.value for given in spec.gases]
    gases = [gas for gas in named or [h.gas.value for h in scene.area.hazards] if _has_readings(scene, area, gas)]
    missing = [gas for gas in named if gas not in gases]
    readings = [given.value for given in spec.readings or scene.program.site.readings]
    rows: list[tuple[Inlines, ...]] = []
    for reading in readings:
        at = "at-" + plain(magnitude(reading, "%LEL")).replace(".", "-")
        shown: Inlines = (Fig(f"reading.{at}", bare=True, decisive=True),)
        cells = (scene.fig(f"reading.{area}.{gas}.{at}", bare=True, decisive=True) for gas in gases)
        rows.append((shown, *cells))
    names = tuple(scene.gas(gas) for gas in gases)
    table = Table(
        columns=(scene.say("Display shows"), *names),
        rows=tuple(rows),
        numeric=tuple(range(len(gases) + 1)),
        kind="matrix",
        empty=scene.say("no corrections"),
    )
    note = scene.words("All in %LEL on the site's basis. True value is what counts.")
    return make(scene, spec, scene.say("What is really there"), (table, Paragraph(note), *_lost(scene, missing)))


def chart(scene: Scene, spec: BlockSpec) -> CardBlock:
    """True against displayed %LEL, a line a gas."""
    named = [given.value for given in spec.gases]
    voice = Voice(scene.say, scene.gas, scene.named(scene.area), scene.wording.comma)
    found = reading_charts(scene.program, scene.ledger, scene.area, named, voice)
    lost = [gas for gas in named if not _has_readings(scene, scene.area.id, gas)]
    advice = "Up from the reading, then left. Gas not known: take the highest line." if found else "No corrections."
    blocks: tuple[Block, ...] = (*found, Paragraph(scene.words(advice)), *_lost(scene, lost))
    return make(scene, spec, scene.say("From the display to what is there"), blocks)


def _lost(scene: Scene, gases: Iterable[str]) -> list[Paragraph]:
    return [Paragraph(scene.words("{gas}: not seen, no correction.", gas=scene.gas(gas))) for gas in gases]


def _has_readings(scene: Scene, area: str, gas: str) -> bool:
    return any(True for _ in scene.ledger.under(f"reading.{area}.{gas}"))


def conversions(scene: Scene, spec: BlockSpec) -> CardBlock:
    """LEL by volume and mass of one ppm."""
    rows: list[tuple[Inlines, ...]] = []
    for given in spec.gases:
        gas = scene.program.gases[given.value]
        key = f"gas.{gas.id}"
        rows.append(
            (
                words(scene.gas(gas.id)),
                scene.fig(f"{key}.lel") if f"{key}.lel" in scene.ledger else words("–"),
                scene.fig(f"{key}.mg-m3-per-ppm"),
            )
        )
    heads = (scene.say("Gas"), scene.say("LEL"), scene.say("One ppm is"))
    table = Table(columns=heads, rows=tuple(rows), numeric=(1, 2), empty=scene.say("no gases"))
    return make(scene, spec, scene.say("Conversions"), (table,))


def cylinder(scene: Scene, spec: BlockSpec) -> CardBlock:
    """What a cylinder holds and until when."""
    if spec.cylinder is None:
        raise ValueError("a cylinder block names its cylinder")
    bottle = scene.program.cylinders[spec.cylinder.value]
    rows: list[tuple[Inlines, ...]] = []
    for component in bottle.components:
        key = f"cylinder.{bottle.id}.{component.gas.value}"
        share: Inlines = (
            scene.fig(f"{key}.lel")
            if f"{key}.lel" in scene.ledger and _flammable(scene, component.gas.value)
            else words("–")
        )
        rows.append((words(scene.gas(component.gas.value)), scene.fig(key, decisive=True), share))
    heads = (scene.say("Gas"), scene.say("Certified"), scene.say("Share of LEL"))
    table = Table(columns=heads, rows=tuple(rows), numeric=(1, 2))
    last = scene.sentence(
        "Last day of use {day}. Checks left {left}.",
        day=scene.fig(f"cylinder.{bottle.id}.expires", decisive=True),
        left=scene.fig(f"cylinder.{bottle.id}.tests-left", decisive=True),
    )
    title = scene.say("Cylinder {cylinder}", cylinder=bottle.id.upper())
    return make(scene, spec, title, (table, Paragraph(last)))


def _flammable(scene: Scene, gas: str) -> bool:
    """Whether a sensor of the flammable channel is adjusted with this gas."""
    sensors = scene.program.sensors.values()
    return any(sensor.channel.value == FLAMMABLE and sensor.calibrated_with.value == gas for sensor in sensors)


def bump(scene: Scene, spec: BlockSpec) -> CardBlock:
    """What each sensor must show while the gas of one cylinder flows."""
    if spec.cylinder is None:
        raise ValueError("a bump block names its cylinder")
    bottle = scene.program.cylinders[spec.cylinder.value]
    rows: list[tuple[Inlines, ...]] = []
    for check, sensor, name in _windows(scene, bottle.id):
        key = f"window.{bottle.id}.{sensor}.{check.id}"
        rows.append(
            (words(name), scene.fig(f"{key}.from", decisive=True, bare=True), scene.fig(f"{key}.to", decisive=True))
        )
    times = [check for check in scene.program.checks.values() if check.kind == "bump-test"]
    heads = (scene.say("Sensor"), scene.say("From"), scene.say("To"))
    empty = scene.say("no window for this detector")
    table = Table(columns=heads, rows=tuple(rows), numeric=(1, 2), empty=empty)
    flow = [
        scene.sentence("Let gas flow {time}.", time=scene.fig(f"check.{check.id}.gas-time", decisive=True))
        for check in times
    ]
    title = scene.say("Bump test with {cylinder}", cylinder=bottle.id.upper())
    return make(scene, spec, title, (table, *(Paragraph(line) for line in flow)))


def _windows(scene: Scene, bottle: str) -> Iterator[tuple[Check, str, str]]:
    models = scene.models or tuple(scene.program.models.values())
    seen: set[str] = set()
    for check in scene.program.checks.values():
        for model in models:
            for _, sensor in scene.program.fitted(model):
                key = f"window.{bottle}.{sensor.id}.{check.id}.from"
                if check.kind == "bump-test" and key in scene.ledger and key not in seen:
                    seen.add(key)
                    yield check, sensor.id, scene.named(sensor)
