"""The briefing sheet for the toolbox talk after a release: what changed, what to take back, and questions by role."""

from collections.abc import Callable, Iterator
from typing import Final

from builder.pages.blocks import Block, Inlines, Page, Strong
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import ROLES, capital, word
from builder.pages.handbook.parts import facts, head, inlines, listed, page, para, table, to
from builder.pages.handbook.sections import path_of
from builder.program.areas import Area
from builder.program.keys.families import HOSE_WAIT, LEVELS_COUNT, SETPOINT, WINDOW_FROM, WINDOW_TO
from builder.program.sensors import OXYGEN

Questions = Iterator[tuple[Inlines, Inlines]]
MOST: Final = 12
"""Questions to one role: a talk is short."""


def briefing_page(book: HandbookContext) -> Page:
    """The page ``page:briefing``; every answer is a figure or an action of the site."""
    revision = book.program.revision
    blocks: list[Block] = [
        facts(
            ("Revision", inlines(str(revision.number.value)) if revision else None),
            ("What changed and why", inlines(revision.reason.value) if revision else None),
            ("Before and now", inlines(to("page:differences", "figures and words that changed"))),
            ("Take back and hand out", inlines(to("page:differences", "cards printed anew, copies out, who is told"))),
        )
    ]
    for roles, asked in ASKED:
        rows = list(asked(book))[:MOST]
        if rows:
            blocks.append(head(capital(listed_words(roles))))
            blocks.append(table(("Question", "Answer"), rows))
    blocks.append(para(fixed("briefing.signed")))
    return page(
        id="page:briefing",
        path=path_of("page:briefing"),
        title="Briefing sheet",
        section="program",
        lead=fixed("briefing.lead"),
        blocks=blocks,
    )


def listed_words(roles: tuple[str, ...]) -> str:
    """Roles in words."""
    return ", ".join(word(ROLES, role) for role in roles)


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
            shown = book.fig(SETPOINT(area=area.id, channel=channel, alarm=alarm))
            asked = inlines(book.channel_name(channel), " shows ", *shown, " in: ", book.link("area", area.id), ".")
            yield inlines(*asked, " What do you do?"), (Strong(inlines(action)),)


def _through_the_hose(book: HandbookContext) -> Questions:
    for area in _spaces(book):
        for model in book.program.models_in(area):
            wait = book.maybe(HOSE_WAIT(area=area.id, model=model.id))
            if wait:
                levels = book.maybe(LEVELS_COUNT(area=area.id))
                named = inlines(book.link("area", area.id), ", ", book.link("model", model.id))
                answer = inlines(*wait, *(inlines(" at each of ", *levels, " levels") if levels else ()))
                yield inlines(*named, ": how long do you wait before you read, and at how many levels?"), answer


def _whom_to_call(book: HandbookContext) -> Questions:
    contacts = book.program.site.contacts
    if contacts:
        first = inlines(contacts[0].call.value, ", ", contacts[0].name.value)
        yield fixed("briefing.down"), (Strong(inlines(*fixed("briefing.stay-out"), " ", *first, ".")),)


def _in_the_window(book: HandbookContext) -> Questions:
    seen: set[str] = set()
    for cylinder in book.program.bottles:
        for check in cylinder.checks:
            for sensor in book.program.sensors:
                names = {"cylinder": cylinder.id, "sensor": sensor, "check": check.value}
                low, high = book.maybe(WINDOW_FROM(**names)), book.maybe(WINDOW_TO(**names))
                if low and high and sensor not in seen:
                    seen.add(sensor)
                    asked = (book.link("check", check.value), ", ", book.link("cylinder", cylinder.id), ", ")
                    yield (
                        inlines(*asked, book.link("sensor", sensor), ": which readings pass?"),
                        listed((low, high), mark=" to "),
                    )


ASKED: Final[tuple[tuple[tuple[str, ...], Callable[[HandbookContext], Questions]], ...]] = (
    (("entrant", "contractor"), _when_it_sounds),
    (("attendant",), _whom_to_call),
    (("tester",), _through_the_hose),
    (("calibrator",), _in_the_window),
)
"""Roles, and what they are asked."""
