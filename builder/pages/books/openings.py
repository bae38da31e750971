"""An area on one opening: what to take and to expect on its left page, what to do when it sounds on its right one.

Beside the openings stand what is inside the cover of every book, and its last pages: whom to call, what has changed.
"""

from collections.abc import Iterator

from builder.base.finding import Severity
from builder.pages.blocks import Block, Heading, Strong
from builder.pages.compositions import Page
from builder.pages.handbook import area_brief as brief
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import ROLES, small, word
from builder.pages.handbook.parts import Row, facts, head, inlines, listed, page, para, points, table
from builder.pages.handbook.sections import path_of
from builder.pages.handbook.seen import seen_in_short
from builder.program.areas import Area
from builder.program.carry import CarriedSet
from builder.program.keys.families import AREA_LOWEST_OXYGEN, AREA_TEMPERATURE, REVISION_EFFECTIVE
from builder.program.test_order import in_test_order


def opening_pages(book: HandbookContext) -> Iterator[Page]:
    """One page, set on two, for every area, and a list of them all that comes before."""
    areas = book.program.areas.values()
    columns = ("Area", "Work done there", "Carry")[: 2 if book.program.plan else None]  # the plan takes the room
    rows = (
        (
            (book.link("area", area.id),),
            brief.activities_in(area),
            brief.sets_of(book, area),
        )[: len(columns)]
        for area in areas
    )
    blocks: tuple[Block, ...] = (
        *brief.plan_of_areas(book, "The table below names their sections."),
        table(columns, rows, empty="no area is listed"),
    )
    lead = inlines("Each area has an opening of its own: read it before going in.")
    yield page("overview:areas", "Work areas", "areas", lead, blocks, path=path_of("page:areas"))
    for area in areas:
        yield page(
            f"opening:{area.id}",
            area.name,
            "areas",
            brief.activities_in(area),
            (
                *book.found(f"area:{area.id}", (Severity.STOP,)),
                *_carry(book, area),
                *_hazards(book, area),
                *brief.test_order(book, area),
                *brief.waits(book, area),
                *brief.unseen(book, area),
                *brief.alarms_and_actions(book, area),
                para(fixed("areas.over-range")),
                *brief.whom_to_call(book, area),
                *_cards(book, area),
            ),
            path=path_of(f"area:{area.id}"),
        )


def _carry(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    lines = (
        inlines(
            Strong(brief.carried(book, one)),
            ": ",
            listed((inlines(small(book.channel_name(name))) for name in _channels(book, one)), mark=", "),
        )
        for one in area.carry
    )
    several = "Carry one of these" if len(area.carry) > 1 else "Carry"
    return (head(several), *points(lines), *((para(area.note),) if area.note else ()))


def _channels(book: HandbookContext, one: CarriedSet) -> tuple[str, ...]:
    """What the detectors of a set measure together, in the order air is tested."""
    models = (book.program.models[given.value] for given in one.models)
    return in_test_order(sensor.channel.value for model in models for _, sensor in book.program.fitted(model))


def _hazards(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    return (
        head("What can be in the air"),
        table(("Gas", "Why"), brief.hazard_rows(book, area), empty="no hazard is listed"),
        facts(
            ("Oxygen can fall to", book.maybe(AREA_LOWEST_OXYGEN(area=area.id))),
            ("Temperature", book.maybe(AREA_TEMPERATURE(area=area.id))),
        ),
        *seen_in_short(book, area),
    )


def _cards(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    cards = brief.cards_of(book, area)
    lines = (inlines(f"{card.title}, for the {word(ROLES, card.audience)}") for card in cards)
    return (head("Pocket cards of this area"), *points(lines)) if cards else ()


MOST_REVISIONS = 20


def inside_cover(book: HandbookContext) -> Page:
    """Whom to call, and what every alarm of the site asks for."""
    numbers = brief.calls(book)
    blocks: list[Block] = [Heading(2, inlines("Call")), numbers] if numbers.rows else []
    blocks += [head("It sounds: leave first, think outside"), _actions(book)]
    blocks.append(
        para(
            "Alarms are set differently from area to area: the numbers are on the opening of the area. Where it asks "
            "for more than this page, do what it says. If in doubt, leave."
        )
    )
    return page("inside:cover", "In an emergency", "home", (), blocks, path="inside-cover")


def _actions(book: HandbookContext) -> Block:
    """Each action once, with the alarms that ask for it somewhere, in the order alarms are first met."""
    found: dict[str, dict[str, None]] = {}
    for area in book.program.areas.values():
        for channel in book.program.channels_in(area):
            entry = book.program.setpoint(area.id, channel)
            for name, alarm in entry.alarms.items() if entry else ():
                said = f"{book.channel_name(channel)}: {small(book.alarm_name(channel, name))}"
                found.setdefault(alarm.action.value, {})[said] = None
    rows: list[Row] = [
        (Strong(inlines(action)), listed((inlines(said) for said in alarms), mark="; "))
        for action, alarms in sorted(found.items(), key=lambda item: -len(item[1]))
    ]
    return table(("Do this", "When this sounds"), rows, kind="actions", empty="no alarm is set")


def changes_page(book: HandbookContext) -> Page:
    """What each revision changed, the newest first."""
    newest = tuple(reversed(book.program.revisions))[:MOST_REVISIONS]
    rows = (
        (
            str(revision.number.value),
            book.fig(REVISION_EFFECTIVE(revision=revision.number.value), absent=revision.effective.value.isoformat()),
            revision.reason.value,
            revision.approved.value,
        )
        for revision in newest
    )
    blocks: tuple[Block, ...] = (
        table(("Revision", "In force from", "What and why", "Approved by"), rows, empty="nothing was released yet"),
    )
    lead = inlines("What each revision changed. A page may carry an older revision if the contents say so.")
    return page("overview:changes", "Changes", "program", lead, blocks, path="changes")
