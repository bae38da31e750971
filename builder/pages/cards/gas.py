"""Blocks about gas: corrections, conversions, cylinders, windows of a bump test."""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.quantity import magnitude
from builder.base.rounding import plain
from builder.pages.blocks import CardBlock, Fig, Inlines, Paragraph, Table, Text
from builder.pages.cards.scene import Scene, make, words
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
    names = tuple(scene.program.gases[gas].name for gas in gases)
    table = Table(
        columns=("Display shows", *names),
        rows=tuple(rows),
        numeric=tuple(range(len(gases) + 1)),
        kind="matrix",
        empty="no corrections",
    )
    note: Inlines = (Text("All in %LEL on the site's basis. True value is what counts."),)
    lost = [Paragraph(words(f"{scene.program.gases[gas].name}: not seen, no correction.")) for gas in missing]
    return make(spec, "What is really there", (table, Paragraph(note), *lost))


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
                words(gas.name),
                scene.fig(f"{key}.lel") if f"{key}.lel" in scene.ledger else words("–"),
                scene.fig(f"{key}.mg-m3-per-ppm"),
            )
        )
    table = Table(columns=("Gas", "LEL", "One ppm is"), rows=tuple(rows), numeric=(1, 2), empty="no gases")
    return make(spec, "Conversions", (table,))


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
        rows.append((words(scene.program.gases[component.gas.value].name), scene.fig(key, decisive=True), share))
    table = Table(columns=("Gas", "Certified", "Share of LEL"), rows=tuple(rows), numeric=(1, 2))
    last: Inlines = (
        Text("Last day of use "),
        *scene.fig(f"cylinder.{bottle.id}.expires", decisive=True),
        Text(". Checks left "),
        *scene.fig(f"cylinder.{bottle.id}.tests-left", decisive=True),
        Text("."),
    )
    return make(spec, f"Cylinder {bottle.id.upper()}", (table, Paragraph(last)))


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
    table = Table(
        columns=("Sensor", "From", "To"), rows=tuple(rows), numeric=(1, 2), empty="no window for this detector"
    )
    flow: list[Inlines] = [
        (Text("Let gas flow "), *scene.fig(f"check.{check.id}.gas-time", decisive=True), Text(".")) for check in times
    ]
    return make(spec, f"Bump test with {bottle.id.upper()}", (table, *(Paragraph(line) for line in flow)))


def _windows(scene: Scene, bottle: str) -> Iterator[tuple[Check, str, str]]:
    models = scene.models or tuple(scene.program.models.values())
    seen: set[str] = set()
    for check in scene.program.checks.values():
        for model in models:
            for _, sensor in scene.program.fitted(model):
                key = f"window.{bottle}.{sensor.id}.{check.id}.from"
                if check.kind == "bump-test" and key in scene.ledger and key not in seen:
                    seen.add(key)
                    yield check, sensor.id, sensor.name
