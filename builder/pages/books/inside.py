"""What stands inside the cover of every book, and its last pages: whom to call, what to do, what has changed."""

from builder.pages.blocks import Block, Heading, Strong
from builder.pages.compositions import Page
from builder.pages.handbook.area_brief import calls
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import small
from builder.pages.handbook.parts import Row, head, inlines, listed, page, para, table
from builder.program.keys.families import REVISION_EFFECTIVE

MOST_REVISIONS = 20


def inside_cover(book: HandbookContext) -> Page:
    """Whom to call, and what every alarm of the site asks for."""
    numbers = calls(book)
    blocks: list[Block] = [Heading(2, inlines("Call")), numbers] if numbers.rows else []
    blocks += [head("It sounds: leave first, think outside"), _actions(book)]
    blocks.append(
        para(
            "Alarms are set differently from area to area: the numbers are on the opening of the area. Where it asks "
            "for more than this page, do what it says. If in doubt, leave."
        )
    )
    return page(id="inside:cover", path="inside-cover", title="In an emergency", section="home", lead=(), blocks=blocks)


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
    return page(
        id="overview:changes",
        path="changes",
        title="Changes",
        section="program",
        lead=inlines("What each revision changed. A page may carry an older revision if the contents say so."),
        blocks=blocks,
    )
