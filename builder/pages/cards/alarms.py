"""Blocks about alarms: what to do, what the limits are, oxygen, what is not seen."""

from __future__ import annotations

from collections.abc import Iterator

from builder.pages.blocks import CardBlock, Inlines, Items, Paragraph, Table
from builder.pages.cards.scene import Scene, make, words
from builder.pages.words import alarm_word, channel_word
from builder.program.cards import BlockSpec
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.program.setpoints import Alarm


def alarm_actions(scene: Scene, spec: BlockSpec) -> CardBlock:
    """What each alarm means and what to do, the gravest alarm of a channel last."""
    rows: list[tuple[Inlines, ...]] = []
    for channel, alarm in _alarms(scene, spec):
        key = f"setpoint.{scene.area.id}.{channel}.{alarm.name}"
        action = words(scene.said(alarm.action))
        rows.append((_alarm_name(scene, channel, alarm), scene.fig(key, decisive=True), action))
    heads = (scene.say("Alarm"), scene.say("Set at"), scene.say("Do"))
    table = Table(columns=heads, rows=tuple(rows), empty=scene.say("no alarms set"))
    return make(scene, spec, scene.say("When it sounds"), (table,), emphasis="action")


def limits(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Setpoints beside the limits they protect."""
    rows: list[tuple[Inlines, ...]] = []
    for channel, alarm in _alarms(scene, spec):
        key = f"setpoint.{scene.area.id}.{channel}.{alarm.name}"
        name = _alarm_name(scene, channel, alarm)
        rows.append((name, scene.fig(key, decisive=True), _limit(scene, channel, alarm)))
    heads = (scene.say("Alarm"), scene.say("Set at"), scene.say("Limit"))
    table = Table(columns=heads, rows=tuple(rows), numeric=(1,), empty=scene.say("no alarms set"))
    return make(scene, spec, scene.say("Limits"), (table,))


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
            rows.append((scene.words(name), scene.fig(key, decisive=True)))
    hidden = scene.sentence(
        "When oxygen has dropped by one per cent of the air, {share} of another gas can be there: "
        "oxygen alone is no test for toxic gas.",
        share=scene.fig("oxygen.displaced-by-1"),
    )
    heads = (scene.say("Oxygen"), scene.say("Value"))
    table = Table(columns=heads, rows=tuple(rows), numeric=(1,), empty=scene.say("no values"))
    return make(scene, spec, scene.say("Oxygen"), (table, Paragraph(hidden)))


def not_seen(scene: Scene, spec: BlockSpec) -> CardBlock:
    """What the display does not see, from the sensors' own data."""
    lines = tuple((Paragraph(line),) for line in _unseen(scene))
    return make(scene, spec, scene.say("The display does not see"), (Items(items=lines),))


def _alarm_name(scene: Scene, channel: str, alarm: Alarm) -> Inlines:
    channel_said = channel_word(scene.program, channel, scene.say)
    word = alarm_word(alarm.name, scene.say, channel)
    return scene.words("{channel} {alarm}", channel=channel_said, alarm=word)


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
    for sensor in sensors.values():
        name = scene.named(sensor)
        if sensor.blind_to:
            blind = scene.gases(gas.value for gas in sensor.blind_to)
            yield scene.words("{sensor}: blind to {gases}.", sensor=name, gases=blind)
        low = f"sensor.{sensor.id}.minimum-oxygen"
        if low in scene.ledger:
            least = scene.fig(low)
            yield scene.sentence("{sensor}: reads low or nothing below {least} oxygen.", sensor=name, least=least)
    for hazard in scene.area.hazards:
        gas_id = hazard.gas.value
        if not any(sensor.sees(gas_id) for sensor in sensors.values()):
            yield scene.words("{gas}: no sensor for it in this detector.", gas=scene.gas(gas_id))
    yield scene.words("Any gas that is not on this card.")
