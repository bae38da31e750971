"""At which readings people go in, and hot work starts and stops: the site's own values beside the rule of the place."""

from collections.abc import Iterator

from builder.base.quantity import same_dimension
from builder.figures.figure import Figure
from builder.pages.blocks import Absent, Block, Inlines, Strong
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, apart, facts, head, inlines, para, table
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.sensors import OXYGEN


def work_values_of(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """What an area's work asks for; nothing where neither entry nor hot work is done there."""
    site = book.program.site
    made: list[Block] = []
    if site.entry is not None and area.entered:
        rows = _rows(book, area, ((keyed.ENTRY_FROM, "at least", True), (keyed.ENTRY_TO, "at most", False)))
        made += [head("Going in"), para(fixed("areas.going-in")), _table(rows, f"Going in, {area.name}")]
        made.append(facts(("The air is tested again every", book.maybe(keyed.ENTRY_RETEST()))))
    if site.hot_work is not None and area.hot_work:
        ends = ((keyed.HOT_WORK_FROM, "start at or above", True), (keyed.HOT_WORK_TO, "start at or below", False),
                (keyed.HOT_WORK_STOP, "stop at", False))  # fmt: skip
        made += [head("Hot work"), para(fixed("areas.hot-work")), _table(_rows(book, area, ends), "Hot work")]
        made.append(facts(("The air is tested again every", book.maybe(keyed.HOT_WORK_RETEST())), *_watch(book)))
    return tuple(made)


def _watch(book: HandbookContext) -> Iterator[tuple[str, Inlines]]:
    """The fire watch of site and rule, the longer one set heavier, and what it adds to the time of the last flame."""
    kept = book.ledger.get(keyed.HOT_WORK_WATCH_LONGEST())
    if kept is None:
        return
    for words, key in (("Fire watch after the last flame", keyed.HOT_WORK_WATCH()),
                       ("The rule asks for", keyed.HOT_WORK_WATCH_RULE())):  # fmt: skip
        asked = book.ledger.get(key)
        if asked is not None:
            told = book.fig(key)
            yield words, (Strong(told),) if asked.amount >= kept.amount else told
    ends = (book.fig(keyed.HOT_WORK_WATCH_HOURS()), book.fig(keyed.HOT_WORK_WATCH_MINUTES()))
    yield "The longer of the two, in hours and minutes", inlines(*ends[0], " ", *ends[1])


def _table(rows: Iterator[Row], caption: str) -> Block:
    return table(("Reading", "This site", "Rule of the place"), rows, caption=caption, numeric=(1, 2))


def _rows(book: HandbookContext, area: Area, ends: tuple[tuple[Family, str, bool], ...]) -> Iterator[Row]:
    """A row for each end of each channel of the area, the stricter of site and rule set heavier."""
    for channel in book.program.channels_in(area):
        for family, words, falling in ends:
            own = book.ledger.get(family(channel=channel))
            if own is None:
                continue
            quantity = {True: "oxygen-low", False: "oxygen-high"}[falling] if channel == OXYGEN else channel
            rule = book.ledger.get(keyed.RULE(area=area.id, quantity=quantity))
            mine, theirs = book.fig(own.key), book.fig(rule.key) if rule else (Absent("no rule with a number"),)
            if rule is None or _stricter(own, rule, falling=falling):
                mine = (Strong(mine),)
            else:
                theirs = (Strong(theirs),)
            yield inlines(*book.channel(channel), ": ", apart(words)), mine, theirs


def _stricter(own: Figure, rule: Figure, *, falling: bool) -> bool:
    """Whether the site's value is at least as strict, or the rule speaks in another unit."""
    if not same_dimension(own.amount, rule.unit):
        return True
    return own.amount >= rule.amount if falling else own.amount <= rule.amount
