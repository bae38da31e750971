"""Blocks about alarms: what to do, what the limits are, oxygen, what is not seen."""

from __future__ import annotations

from collections.abc import Iterator

from builder.pages.blocks import CardBlock, Inlines, ItemList, Paragraph, Table
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, make, words
from builder.pages.channel_names import alarm_word, channel_word
from builder.program.cards import BlockSpec
from builder.program.keys.families import OXYGEN_DISPLACED, RULE, SENSOR_MINIMUM_OXYGEN, SETPOINT, SETPOINT_PROTECTS
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.program.setpoints import Alarm


@composes("alarm-actions")
def alarm_actions(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What each alarm means and what to do, the gravest alarm of a channel last."""
    rows: list[tuple[Inlines, ...]] = []
    for channel, alarm in _alarms(context, spec):
        key = SETPOINT(area=context.area.id, channel=channel, alarm=alarm.name)
        action = words(context.content_text(alarm.action))
        rows.append((_alarm_name(context, channel, alarm), context.fig(key, decisive=True), action))
    heads = (context.text("Alarm"), context.text("Set at"), context.text("Do"))
    table = Table(columns=heads, rows=tuple(rows), empty=context.text("no alarms set"))
    return make(context, spec, context.text("When it sounds"), (table,), emphasis="action")


@composes("limits")
def limits(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Setpoints beside the limits they protect."""
    rows: list[tuple[Inlines, ...]] = []
    for channel, alarm in _alarms(context, spec):
        key = SETPOINT(area=context.area.id, channel=channel, alarm=alarm.name)
        name = _alarm_name(context, channel, alarm)
        rows.append((name, context.fig(key, decisive=True), _limit(context, channel, alarm)))
    heads = (context.text("Alarm"), context.text("Set at"), context.text("Limit"))
    table = Table(columns=heads, rows=tuple(rows), numeric=(1,), empty=context.text("no alarms set"))
    return make(context, spec, context.text("Limits"), (table,))


@composes("oxygen")
def oxygen(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What oxygen readings allow and hide."""
    area = context.area.id
    rows: list[tuple[Inlines, ...]] = []
    for key, name in (
        (RULE(area=area, quantity="oxygen-low"), "Rule, low"),
        (SETPOINT(area=area, channel=OXYGEN, alarm="low"), "Alarm, low"),
        (SETPOINT(area=area, channel=OXYGEN, alarm="high"), "Alarm, high"),
        (RULE(area=area, quantity="oxygen-high"), "Rule, high"),
    ):
        if key in context.ledger:
            rows.append((context.words(name), context.fig(key, decisive=True)))
    hidden = context.sentence(
        "When oxygen has dropped by one per cent of the air, {share} of another gas can be there: "
        "oxygen alone is no test for toxic gas.",
        share=context.fig(OXYGEN_DISPLACED()),
    )
    heads = (context.text("Oxygen"), context.text("Value"))
    table = Table(columns=heads, rows=tuple(rows), numeric=(1,), empty=context.text("no values"))
    return make(context, spec, context.text("Oxygen"), (table, Paragraph(hidden)))


@composes("not-seen")
def not_seen(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What the display does not see, from the sensors' own data."""
    lines = tuple((Paragraph(line),) for line in _unseen(context))
    return make(context, spec, context.text("The display does not see"), (ItemList(items=lines),))


def _alarm_name(context: CardContext, channel: str, alarm: Alarm) -> Inlines:
    channel_said = channel_word(context.program, channel, context.text)
    word = alarm_word(alarm.name, context.text, channel)
    return context.words("{channel} {alarm}", channel=channel_said, alarm=word)


def _alarms(context: CardContext, spec: BlockSpec) -> Iterator[tuple[str, Alarm]]:
    for channel in context.channels(spec):
        entry = context.program.setpoint(context.area.id, channel)
        if entry is not None:
            yield from ((channel, alarm) for alarm in entry.alarms.values())


def _limit(context: CardContext, channel: str, alarm: Alarm) -> Inlines:
    area = context.area.id
    if channel == FLAMMABLE:
        return context.fig(RULE(area=area, quantity="flammable"))
    if channel == OXYGEN:
        return context.fig(RULE(area=area, quantity=f"oxygen-{alarm.name}"))
    return context.fig(SETPOINT_PROTECTS(area=area, channel=channel, alarm=alarm.name))


def _unseen(context: CardContext) -> Iterator[Inlines]:
    sensors = {sensor.id: sensor for model in context.models for _, sensor in context.program.fitted(model)}
    for sensor in sensors.values():
        name = context.named(sensor)
        if sensor.blind_to:
            blind = context.gases(gas.value for gas in sensor.blind_to)
            yield context.words("{sensor}: blind to {gases}.", sensor=name, gases=blind)
        low = SENSOR_MINIMUM_OXYGEN(sensor=sensor.id)
        if low in context.ledger:
            least = context.fig(low)
            yield context.sentence("{sensor}: reads low or nothing below {least} oxygen.", sensor=name, least=least)
    for hazard in context.area.hazards:
        gas_id = hazard.gas.value
        if not any(sensor.sees(gas_id) for sensor in sensors.values()):
            yield context.words("{gas}: no sensor for it in this detector.", gas=context.gas(gas_id))
    yield context.words("Any gas that is not on this card.")
