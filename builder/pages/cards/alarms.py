"""Blocks about alarms: what to do, what the limits are, oxygen, what is not seen."""

from __future__ import annotations

from collections.abc import Iterator

from builder.pages.blocks import CardBlock, Inlines, Items, Paragraph, Table, Text
from builder.pages.cards.scene import Scene, make, words
from builder.pages.words import alarm_word, channel_word
from builder.program.cards import BlockSpec
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.program.setpoints import Alarm


def alarm_actions(scene: Scene, spec: BlockSpec) -> CardBlock:
    """What each alarm means and what to do, the gravest alarm of a channel last."""
    rows: list[tuple[Inlines, ...]] = []
    for channel, alarm in _alarms(scene, spec):
        name = f"{channel_word(scene.program, channel)} {alarm_word(alarm.name)}"
        key = f"setpoint.{scene.area.id}.{channel}.{alarm.name}"
        rows.append((words(name), scene.fig(key, decisive=True), words(alarm.action.value)))
    table = Table(columns=("Alarm", "Set at", "Do"), rows=tuple(rows), empty="no alarms set")
    return make(spec, "When it sounds", (table,), emphasis="action")


def limits(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Setpoints beside the limits they protect."""
    rows: list[tuple[Inlines, ...]] = []
    for channel, alarm in _alarms(scene, spec):
        key = f"setpoint.{scene.area.id}.{channel}.{alarm.name}"
        name = f"{channel_word(scene.program, channel)} {alarm_word(alarm.name)}"
        rows.append((words(name), scene.fig(key, decisive=True), _limit(scene, channel, alarm)))
    table = Table(columns=("Alarm", "Set at", "Limit"), rows=tuple(rows), numeric=(1,), empty="no alarms set")
    return make(spec, "Limits", (table,))


def oxygen(scene: Scene, spec: BlockSpec) -> CardBlock:
    """What oxygen readings allow and hide."""
    area = scene.area.id
    rows: list[tuple[Inlines, ...]] = []
    for key, name in (
        (f"limit.{area}.oxygen-low", "Rule, low"),
        (f"setpoint.{area}.{OXYGEN}.low", "Alarm, low"),
        (f"setpoint.{area}.{OXYGEN}.high", "Alarm, high"),
        (f"limit.{area}.oxygen-high", "Rule, high"),
    ):
        if key in scene.ledger:
            rows.append((words(name), scene.fig(key, decisive=True)))
    hidden: Inlines = (
        Text("A drop of one per cent of air can hide "),
        *scene.fig("oxygen.displaced-by-1"),
        Text(" of another gas: oxygen alone is no test for toxic gas."),
    )
    table = Table(columns=("Oxygen", "Value"), rows=tuple(rows), numeric=(1,), empty="no values")
    return make(spec, "Oxygen", (table, Paragraph(hidden)))


def not_seen(scene: Scene, spec: BlockSpec) -> CardBlock:
    """What the display does not see, from the sensors' own data."""
    lines = tuple((Paragraph(line),) for line in _unseen(scene))
    return make(spec, "The display does not see", (Items(items=lines),))


def _alarms(scene: Scene, spec: BlockSpec) -> Iterator[tuple[str, Alarm]]:
    for channel in scene.channels(spec):
        entry = scene.program.setpoint(scene.area.id, channel)
        if entry is not None:
            yield from ((channel, alarm) for alarm in entry.alarms.values())


def _limit(scene: Scene, channel: str, alarm: Alarm) -> Inlines:
    area = scene.area.id
    if channel == FLAMMABLE:
        return scene.fig(f"limit.{area}.flammable")
    if channel == OXYGEN:
        return scene.fig(f"limit.{area}.oxygen-{alarm.name}")
    return scene.fig(f"setpoint.{area}.{channel}.{alarm.name}.protects")


def _unseen(scene: Scene) -> Iterator[Inlines]:
    sensors = {sensor.id: sensor for model in scene.models for _, sensor in scene.program.fitted(model)}
    names = scene.program.gases
    for sensor in sensors.values():
        if sensor.blind_to:
            blind = ", ".join(names[gas.value].name.lower() for gas in sensor.blind_to)
            yield words(f"{sensor.name}: blind to {blind}.")
        low = f"sensor.{sensor.id}.minimum-oxygen"
        if low in scene.ledger:
            yield (Text(f"{sensor.name}: reads low or nothing below "), *scene.fig(low), Text(" oxygen."))
    for hazard in scene.area.hazards:
        gas_id = hazard.gas.value
        if not any(sensor.sees(gas_id) for sensor in sensors.values()):
            yield words(f"{names[gas_id].name}: no sensor for it in this detector.")
    yield words("Any gas that is not on this card.")
