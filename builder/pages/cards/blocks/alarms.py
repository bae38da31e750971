"""Blocks about alarms: what to do, what the limits are, oxygen, what is not seen."""

from collections.abc import Iterable, Iterator, Sequence
from typing import TypeAlias

from builder.figures.figure import NO_BREAK_SPACE
from builder.findings.seen_table import poisons_unseen
from builder.findings.sensor_coverage import hides
from builder.pages.blocks import BETWEEN, Inline, Inlines, ItemList, Paragraph, Strong, Table, Text
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, CardRow, make, words
from builder.pages.compositions import CardBlock
from builder.pages.handbook.labels import spelt_alarm_word
from builder.program.cards import BlockSpec
from builder.program.keys.families import OXYGEN_DISPLACED, RULE, SENSOR_MINIMUM_OXYGEN, SETPOINT, SETPOINT_PROTECTS
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.program.setpoints import Alarm
from builder.program.test_order import in_test_order

ChannelAlarm: TypeAlias = tuple[str, Alarm]


@composes("alarm-actions")
def alarm_actions(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What to do, and at which alarms: each action once, what is gravest first."""
    table = actions_table(context, tuple(alarms_of(context, spec)))
    elsewhere = _elsewhere(context, spec)
    over = context.wording.comma.join(map(context.channel, elsewhere))
    note = (Paragraph((Strong(context.words("{channels}: turn over.", channels=over)),)),) if elsewhere else ()
    return make(context, spec, context.text("When it sounds"), (table, *note))


def actions_table(context: CardContext, alarms: Sequence[ChannelAlarm]) -> Table:
    """What the reader of this card does, with the alarms that ask for it; alarms without an order are left out."""
    groups: dict[str, list[ChannelAlarm]] = {}
    for channel, alarm in alarms:
        action = alarm.action_of(context.card.reader)
        if action is not None:
            groups.setdefault(context.content_text(action), []).append((channel, alarm))
    ordered = sorted(groups.items(), key=lambda group: min(_grave(*one) for one in group[1]))
    rows = tuple((words(action), alarm_list(context, found)) for action, found in ordered)
    empty = "alarms are set, but no order for you" if alarms else "no alarms set"
    return Table(columns=("", ""), rows=rows, kind="actions", empty=context.text(empty))


def alarm_list(context: CardContext, alarms: Iterable[ChannelAlarm]) -> Inlines:
    """Alarms with their setpoints in a line, each unbroken where it is short."""
    made: list[Inline] = []
    for channel, alarm in alarms:
        value = context.decisive(SETPOINT(area=context.area.id, channel=channel, alarm=alarm.name))
        name = Text(f"{_alarm_name(context, channel, alarm)}{NO_BREAK_SPACE}")
        if channel == OXYGEN:  # which has an alarm on either side
            value = hazardous_from(context, channel, alarm.name, value)
        made += (*((BETWEEN,) if made else ()), name, *value)
    return tuple(made)


def hazardous_from(context: CardContext, channel: str, alarm: str, value: Inlines) -> Inlines:
    """A reading and the side of it that is hazardous; the reading itself too, whether or not a unit sounds at it."""
    falls = channel == OXYGEN and alarm == "low"
    return context.sentence("{value} or less" if falls else "{value} or more", value=value)


def _grave(channel: str, alarm: Alarm) -> int:
    """Of oxygen either alarm, of a gas the second, is the gravest; then the first; then what is counted up."""
    return 0 if channel == OXYGEN else ("high", "low", "stel", "twa").index(alarm.name)


def _elsewhere(context: CardContext, spec: BlockSpec) -> tuple[str, ...]:
    """Channels whose alarms stand on another side than this block, told by the first block of each side."""
    card = context.card
    for side in card.panels or (card.front, card.back):
        mine = [block for block in side if block.name == spec.name]
        if mine and mine[0] is spec:
            here = {channel for block in mine for channel in context.channels(block)}
            others = (block for block in card.blocks if block.name == spec.name)
            told = in_test_order(channel for block in others for channel in context.channels(block))
            return tuple(channel for channel in told if channel not in here)
    return ()


@composes("limits")
def limits(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Setpoints beside the limits they protect; a limit of another gas than the channel's names it.

    Where a display counts another gas than a hazard is, its alarms and the limits do not count alike: heads say so.
    """
    rows: list[CardRow] = []
    for channel, alarm in alarms_of(context, spec):
        key = SETPOINT(area=context.area.id, channel=channel, alarm=alarm.name)
        name = words(_alarm_name(context, channel, alarm))
        rows.append((name, context.decisive(key), _limit(context, channel, alarm)))
    another = any(_counts_another(context, channel) for channel in context.channels(spec))
    heads = ("Alarm", "Display", "True limit") if another else ("Alarm", "Set at", "Limit")
    table = context.table(heads, rows, numeric=(1,), empty="no alarms set")
    return make(context, spec, context.text("Limits"), (table,))


def _counts_another(context: CardContext, channel: str) -> bool:
    fitted = context.program.fitted_in(context.area, channel)
    gases = [hazard.gas.value for hazard in context.area.hazards]
    return any(sensor.sees(gas) and sensor.shows.value != gas for _, _, sensor in fitted for gas in gases)


@composes("oxygen")
def oxygen(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What oxygen readings allow and hide."""
    area = context.area.id
    rows = tuple(
        context.values(
            (RULE(area=area, quantity="oxygen-low"), "Rule, too little"),
            (SETPOINT(area=area, channel=OXYGEN, alarm="low"), "Alarm, too little"),
            (SETPOINT(area=area, channel=OXYGEN, alarm="high"), "Alarm, too much"),
            (RULE(area=area, quantity="oxygen-high"), "Rule, too much"),
        )
    )
    hidden = context.sentence(
        "When oxygen has dropped by one per cent of the air, {share} of another gas can be there: "
        "oxygen alone is no test for toxic gas.",
        share=context.fig(OXYGEN_DISPLACED()),
    )
    table = context.table(("Oxygen", "Value"), rows, numeric=(1,), empty="no values")
    return make(context, spec, context.text("Oxygen"), (table, Paragraph(hidden)))


@composes("not-seen")
def not_seen(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What the display does not see, from the sensors' own data."""
    lines = tuple((Paragraph(line),) for line in _unseen(context))
    return make(context, spec, context.text("The display does not see"), (ItemList(items=lines),))


def _alarm_name(context: CardContext, channel: str, alarm: Alarm) -> str:
    said = context.channel(channel)
    return context.text("{channel} {alarm}", channel=said, alarm=spelt_alarm_word(alarm.name, context.text, channel))


def alarms_of(context: CardContext, spec: BlockSpec) -> Iterator[ChannelAlarm]:
    """Alarms of a block's channels, in the order air is tested."""
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
    limit = context.fig(SETPOINT_PROTECTS(area=area, channel=channel, alarm=alarm.name))
    return (*limit, Text(f" {context.gas(alarm.protects_gas.value)}")) if alarm.protects_gas else limit


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
        for gas in (one.gas.value for one in context.area.hazards):
            if hidden := hides(context.program, context.area, sensor, gas):
                told = {"sensor": name, "gas": context.gas(gas), "gases": context.gases(hidden)}
                yield context.words("{sensor}: {gas} can hide {gases}.", **told)
    for hazard in context.area.hazards:
        gas_id = hazard.gas.value
        if not any(sensor.sees(gas_id) for sensor in sensors.values()):
            yield context.words("{gas}: no sensor for it in this detector.", gas=context.gas(gas_id))
    for gas_id, (first, limit) in poisons_unseen(context.program, context.ledger, context.area).items():
        there, allowed = context.fig(first.there.key), context.fig(limit.key)
        poison = "{gas} as a poison: first alarm at {there}, limit {limit}."
        yield context.sentence(poison, gas=context.gas(gas_id), there=there, limit=allowed)
    yield context.words("Any gas that is not on this card.")
