"""What whoever holds a card does and never does, and what holds for a rescuer on air."""

from collections.abc import Iterator, Mapping

from builder.base.record import dataclass
from builder.figures.figure import NO_BREAK_SPACE
from builder.pages.blocks import BETWEEN, Block, Inline, Inlines, ItemList, Paragraph, Strong, Table, Text
from builder.pages.cards.blocks.alarms import ChannelAlarm, alarm_list, alarms_of, hazardous_from
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, CardRow, make, words
from builder.pages.compositions import CardBlock
from builder.program.card_rescue import names
from builder.program.cards import BlockSpec
from builder.program.keys.families import (
    ENTRY_RETEST,
    EXPOSURE_LIMIT,
    HOT_WORK_RETEST,
    HOT_WORK_STOP,
    HOT_WORK_WATCH_LONGEST,
)
from builder.program.setpoints import RESCUE

WATCH_ON = "No other job. After the work: watch on as the permit says."
WATCH_UNTIL = "No other job. Watch {time} after the last flame, longer if the permit says so."
"""How the watch ends where neither site nor rule says a time, and where one does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Duties:
    """The duties of a role in words that fit a card."""

    title: str
    never: str = ""
    """The one line that comes before all others."""
    lines: tuple[str, ...]


ENTRANT = Duties(
    title="Leave too when",
    lines=(
        "The unit shows a fault, low battery or over range.",
        "You feel, smell or see anything odd.",
        "A high reading falls back: that is not safe.",
        "You are told to.",
    ),
)
DUTIES: Mapping[str, Duties] = {
    "entrant": ENTRANT,
    "contractor": ENTRANT,
    "lone-worker": Duties(
        title="Alone",
        never="Gas alarm? Leave first.",
        lines=("Never enter a confined space alone.", *ENTRANT.lines[:3]),
    ),
    "attendant": Duties(
        title="Your post",
        never="Never go in.",
        lines=(
            "Know who is inside: count and names.",
            "All out: any alarm, odd behaviour, danger outside, lost contact, or you cannot watch.",
            "Someone down: call rescue. On a line: winch.",
            "Keep others away. No other job. Stay until relieved.",
        ),
    ),
    "tester": Duties(
        title="Your test",
        lines=(
            "From outside, before anybody goes in.",
            "Write down each number and show the entrants.",
            "A high reading falls back: that is not safe.",
            "Fault, low battery or over range: nobody goes in.",
        ),
    ),
    "hot-work-watch": Duties(
        title="Your watch",
        lines=(
            "Extinguisher at hand. Know the fire alarm.",
            "Too big for it? Sound the alarm, all out.",
            "Fault, low battery or over range: work stops.",
            WATCH_ON,
        ),
    ),
    "rescue": Duties(
        title="Before you move",
        never="Trust no air. Your own supply on.",
        lines=("How many inside? Which alarm, which number?", "On a line: winch, do not go in."),
    ),
}
"""29 CFR 1910.146 (h) entrants, (i) attendants, (c)(5)(ii)(C) and (d)(5) testing, (k) rescue; 1910.252 (a)(2)(iii)(B)
fire watch. Over range, a fault and a reading that falls back: common practice, no source."""


@composes("duties")
def duties(context: CardContext, spec: BlockSpec) -> CardBlock:
    """The duties of whom the card is for."""
    found = DUTIES.get(context.card.reader, ENTRANT)
    lines = [_line(context, line) for line in found.lines]
    lines[-1:-1] = _of_site(context, spec)
    blocks: list[Block] = [ItemList(items=tuple((Paragraph(line),) for line in lines))]
    if found.never:
        blocks.insert(0, Table(columns=("", ""), rows=((context.words(found.never), ()),), kind="actions"))
    return make(context, spec, context.text(found.title), blocks)


def _of_site(context: CardContext, spec: BlockSpec) -> Iterator[Inlines]:
    """What the site has a watch do, and a tester where people go in: stop below the alarms, and test again."""
    watches = context.card.reader == "hot-work-watch"
    if watches:
        yield from _stops(context, spec)
    again = HOT_WORK_RETEST() if watches else ENTRY_RETEST()
    if again in context.ledger and (watches or (context.card.reader == "tester" and context.area.entered)):
        time = context.decisive(again)
        yield context.sentence("While work goes on, test again every {time}.", time=time)


def _stops(context: CardContext, spec: BlockSpec) -> Iterator[Inlines]:
    """The readings at which the site stops hot work, below the alarms; no line where it names none."""
    readings: list[Inline] = []
    for channel in context.channels(spec):
        key = HOT_WORK_STOP(channel=channel)
        if key in context.ledger:
            name = Text(f"{context.channel(channel)}{NO_BREAK_SPACE}")
            value = hazardous_from(context, channel, "high", context.decisive(key))
            readings += (*((BETWEEN,) if readings else ()), name, *value)
    if readings:
        yield context.sentence("Alarm or not, work stops at: {readings}.", readings=tuple(readings))


def _line(context: CardContext, line: str) -> Inlines:
    """One duty; the watch's last one with its minutes where they are known."""
    kept = HOT_WORK_WATCH_LONGEST()
    if line != WATCH_ON or kept not in context.ledger:
        return context.words(line)
    return context.sentence(WATCH_UNTIL, time=context.decisive(kept))


@composes("rescue")
def rescue(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What stops a rescuer on air, what does not, what endangers life, and when to turn back."""
    alarms = tuple(alarms_of(context, spec))
    out = [(channel, alarm) for channel, alarm in alarms if names(spec.stops, channel, alarm.name)]
    on = [(channel, alarm) for channel, alarm in alarms if names(spec.goes_on, channel, alarm.name)]
    blocks: list[Block] = [Table(columns=("", ""), rows=tuple(_orders(context, out)), kind="actions")] if out else []
    if on:
        blocks.append(Paragraph((Strong(context.words("On air, these do not stop you:")),)))
        blocks.append(Paragraph(alarm_list(context, on)))
    if spec.turn_back is not None:
        blocks.append(Paragraph((Strong(context.words("Turn back:")),)))
        blocks += context.blocks_of(spec.turn_back)
    deadly = context.table(("Danger to life (IDLH)", "Value"), _deadly(context, spec), numeric=(1,))
    blocks += [deadly] if deadly.rows else []
    return make(context, spec, context.text("On air"), blocks)


def _orders(context: CardContext, alarms: list[ChannelAlarm]) -> Iterator[CardRow]:
    """Each order with its alarms; where the site words none for a rescuer, the builder does."""
    groups: dict[str, list[ChannelAlarm]] = {}
    for channel, alarm in alarms:
        action = alarm.actions.get(RESCUE)
        said = context.content_text(action) if action else context.text("Get out, even on air.")
        groups.setdefault(said, []).append((channel, alarm))
    for said, found in groups.items():
        yield words(said), alarm_list(context, found)


def _deadly(context: CardContext, spec: BlockSpec) -> Iterator[CardRow]:
    for channel in context.channels(spec):
        for name in context.program.limit_lists_in(context.area):
            key = EXPOSURE_LIMIT(gas=channel, list=name, kind="idlh")
            if key in context.ledger:
                yield words(context.gas(channel)), context.decisive(key)
