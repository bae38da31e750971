"""An alarm that may sound in a card's area, on a detector its reader carries, and of which the card says nothing.

A rescuer's card must say of each alarm whether it stops him on air: in a block `rescue`, or in `alarm-actions` with an
action of the alarm for `rescue`; the entrant's words do not count for him.

Asked of signs, and of cards with an area for those who carry a detector: entrants, testers, hot work watches and
rescuers. It is the card's model, or any that is allowed there where the card names none. Every channel with a setpoint
must stand in a block `alarm-actions`, on whatever side or panel; `limits` does not say what to do and does not count.
Source: common practice, no published source: who carries a detector must know what each of its alarms asks for.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE
from builder.program.areas import Area
from builder.program.card_rescue import names
from builder.program.cards import EVERYBODY, CardSpec
from builder.program.program import Program
from builder.program.setpoints import Alarm
from builder.program.test_order import in_test_order

ID = "alarm-not-on-card"
SEVERITIES = (Severity.WARN,)
CARRIERS = ("entrant", "tester", "hot-work-watch", "rescue", EVERYBODY)
"""Who carries a detector where the gas may be, or reads a sign; others stand outside, at a bench or bring their own."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such card, with all channels that it lacks."""
    program = computed.program
    for card in program.cards.values():
        if card.area is None or card.audience not in CARRIERS:
            continue
        area = program.areas[card.area.value]
        lacking = _lacking(program, area, card)
        if lacking:
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{card.title}: an alarm of the {' or '.join(lacking)} channel may sound in {area.name}, "
                "but the card does not say what to do then.",
                where=card.where,
                source=f"{COMMON_PRACTICE}: who carries a detector must know what each of its alarms asks for",
                mend=f"add {', '.join(lacking)} to channels of a block alarm-actions, or leave channels out: "
                "then it prints all",
                subject=f"card:{card.id}",
            )


def _lacking(program: Program, area: Area, card: CardSpec) -> tuple[str, ...]:
    """Channels with an alarm that may sound and that no block tells of, in test order."""
    alarms = {
        (channel, name)
        for channel in _measured(program, area, card)
        if (entry := program.setpoint(area.id, channel))
        for name, alarm in entry.alarms.items()
        if not _told(program, area, card, channel, alarm)
    }
    return in_test_order({channel for channel, _ in alarms})


def _told(program: Program, area: Area, card: CardSpec, channel: str, alarm: Alarm) -> bool:
    """Whether a block says what the reader does at an alarm."""
    for block in card.blocks:
        if block.name == "rescue" and names((*block.stops, *block.goes_on), channel, alarm.name):
            return True
        # without channels it prints all of them
        listed = {given.value for given in block.channels} or _measured(program, area, card)
        if block.name == "alarm-actions" and channel in listed and alarm.action_of(card.reader):
            return True
    return False


def _measured(program: Program, area: Area, card: CardSpec) -> set[str]:
    models = (program.models[card.model.value],) if card.model else program.models_in(area)
    return {sensor.channel.value for model in models for _, sensor in program.fitted(model)}
