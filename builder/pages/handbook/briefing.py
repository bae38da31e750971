"""The briefing sheet for the toolbox talk after a release: what changed, what to take back, and questions by role."""

from collections.abc import Callable, Iterator
from typing import Final

from builder.pages.blocks import Block, Inlines, Strong
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import ROLES, capital, small, word
from builder.pages.handbook.parts import facts, head, inlines, listed, page, para, table, to
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.program.sensors import OXYGEN
from builder.program.test_order import in_test_order

Questions = Iterator[tuple[Inlines, Inlines]]
MOST: Final = 12
"""Questions to one role: a talk is short."""


def briefing_page(book: HandbookContext) -> Page:
    """The page ``page:briefing``; every answer is a figure or an action of the site."""
    revision = book.program.revision
    blocks: list[Block] = [
        facts(
            ("Revision", str(revision.number.value) if revision else None),
            ("What changed and why", revision.reason.value if revision else None),
            ("Before and now", to("page:differences", "figures and words that changed")),
            ("Take back and hand out", to("page:differences", "cards printed anew, copies out, who is told")),
        )
    ]
    for roles, asked in ASKED:
        rows = list(asked(book))[:MOST]
        if rows:
            blocks.append(head(capital(", ".join(word(ROLES, role) for role in roles))))
            blocks.append(table(("Question", "Answer"), rows))
    blocks.append(para(fixed("briefing.signed")))
    return page("page:briefing", "Briefing sheet", "program", fixed("briefing.lead"), blocks)


def _spaces(book: HandbookContext) -> Iterator[Area]:
    """Areas, those that are entered first, since most is at stake there."""
    areas = book.program.areas.values()
    yield from sorted(areas, key=lambda area: not area.entered)


def _when_it_sounds(book: HandbookContext) -> Questions:
    """One alarm an area, taken in turn from its channels, so that not all ask for oxygen."""
    for number, area in enumerate(_spaces(book)):
        entries = [(name, book.program.setpoint(area.id, name)) for name in book.program.channels_in(area)]
        alarms = [
            (channel, alarm, entry.alarms[alarm].action.value)
            for channel, entry in entries
            for alarm in (("low",) if channel == OXYGEN else ("low", "high"))
            if entry is not None and alarm in entry.alarms
        ]
        if alarms:
            channel, alarm, action = alarms[number % len(alarms)]
            shown = book.fig(keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm))
            name = small(book.channel_name(channel))
            asked = inlines(book.link("area", area.id), f": the display shows {name} at ", *shown, ". What do you do?")
            yield asked, (Strong(inlines(action)),)


def _going_in(book: HandbookContext) -> Questions:
    """The readings at which people go in, then the waits that come before them."""
    entered = [area for area in _spaces(book) if area.entered]
    if book.program.site.entry is not None:
        channels = in_test_order(name for area in entered for name in book.program.channels_in(area))
        lines = [
            inlines(small(book.channel_name(name)), " ", _range(book, name, keyed.ENTRY_FROM, keyed.ENTRY_TO))
            for name in channels
            if keyed.ENTRY_TO(channel=name) in book.ledger
        ]
        if lines:
            yield fixed("briefing.entry"), listed(lines)
    yield from _through_the_hose(book)


def _range(book: HandbookContext, channel: str, start: Family, end: Family) -> Inlines:
    """From one figure of a channel to another, or up to it where there is no lower one."""
    low, high = book.maybe(start(channel=channel), bare=True), book.fig(end(channel=channel))
    return inlines(*low, " to ", *high) if low else inlines("at most ", *high)


def _hot_work(book: HandbookContext) -> Questions:
    """When hot work may begin, and when it stops."""
    if book.program.site.hot_work is None:
        return
    for area in (area for area in book.program.areas.values() if area.hot_work):
        known = [name for name in book.program.channels_in(area) if keyed.HOT_WORK_TO(channel=name) in book.ledger]
        for asked, lines in (
            ("briefing.hot-start", [(name, _range(book, name, keyed.HOT_WORK_FROM, keyed.HOT_WORK_TO))
                                    for name in known]),
            ("briefing.hot-stop", [(name, inlines(*book.fig(keyed.HOT_WORK_STOP(channel=name)), " or more"))
                                   for name in known if keyed.HOT_WORK_STOP(channel=name) in book.ledger]),
        ):  # fmt: skip
            if lines:
                answer = [inlines(small(book.channel_name(name)), " ", *told) for name, told in lines]
                answer += [inlines("any alarm")] if asked == "briefing.hot-stop" else []
                yield inlines(book.link("area", area.id), ": ", *fixed(asked)), listed(answer)


def _through_the_hose(book: HandbookContext) -> Questions:
    for area in _spaces(book):
        for model in book.program.models_in(area):
            wait = book.maybe(keyed.HOSE_WAIT(area=area.id, model=model.id))
            if wait:
                levels = book.maybe(keyed.LEVELS_COUNT(area=area.id))
                named = inlines(book.link("area", area.id), ", ", book.link("model", model.id))
                answer = inlines(*wait, *(inlines(" at each of ", *levels, " levels") if levels else ()))
                asked = ": how long do you wait before you read" + (", and at how many levels?" if levels else "?")
                yield inlines(*named, asked), answer


def _at_the_opening(book: HandbookContext) -> Questions:
    contacts = book.program.site.contacts
    if any(area.entered for area in book.program.areas.values()):
        yield fixed("briefing.sounds"), (Strong(fixed("briefing.all-out")),)
    if contacts:
        first = inlines(contacts[0].call.value, ", ", contacts[0].name.value)
        yield fixed("briefing.down"), (Strong(inlines(*fixed("briefing.stay-out"), " ", *first, ".")),)


def _in_the_window(book: HandbookContext) -> Questions:
    """One window of each kind of sensor, of a cylinder that a unit with such a sensor is checked with."""
    seen: set[str] = set()
    for cylinder in book.program.bottles:
        users = [unit for unit in book.program.units.values() if unit.checked_with(cylinder.id)]
        fitted = {s.id for unit in users for _, s in book.program.fitted(book.program.models[unit.model.value])}
        for check in cylinder.checks:
            for sensor in book.program.sensors:
                names = {"cylinder": cylinder.id, "sensor": sensor, "check": check.value}
                low, high = book.maybe(keyed.WINDOW_FROM(**names)), book.maybe(keyed.WINDOW_TO(**names))
                if low and high and sensor in fitted - seen:
                    seen.add(sensor)
                    asked = (book.link("check", check.value), ", ", book.link("cylinder", cylinder.id), ", ")
                    yield (
                        inlines(*asked, book.link("sensor", sensor), ": which readings pass?"),
                        listed((low, high), mark=" to "),
                    )


ASKED: Final[tuple[tuple[tuple[str, ...], Callable[[HandbookContext], Questions]], ...]] = (
    (("entrant", "contractor"), _when_it_sounds),
    (("attendant",), _at_the_opening),
    (("tester",), _going_in),
    (("hot-work-watch",), _hot_work),
    (("calibrator",), _in_the_window),
)
"""Roles, and what they are asked."""
