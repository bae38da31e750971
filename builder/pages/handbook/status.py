"""Card status: what every code that was ever printed means today."""

from collections.abc import Sequence

from builder.history.status import CodeStatus
from builder.pages.blocks import Block, Code, Day, Inlines, Link, Page, Strong, Table, Text
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.parts import inlines, page, para, to
from builder.pages.handbook.sections import path_of

ONLY_FOOT = "only revision and dates"
STATES = {
    "current": "current",
    "superseded": "superseded: destroy it",
    "withdrawn": "withdrawn: destroy it",
    "draft": "draft: not for use",
}
SUPERSEDED = Link("term:superseded", (Text("superseded"),), quiet=True)
COLUMNS = ("Code", "Status", "Card", "Valid until the end of", "Printed in", "Replaced by", "What changed on it")


def status_page(found: Sequence[CodeStatus], *, frozen: str) -> Page:
    """The page ``page:status``, with the code of each card as an anchor.

    :param frozen: name of the revision, when the page stands in a frozen copy; it then says what was so on that day.
    """
    lead = fixed("status.lead")
    if frozen:
        lead = fixed("status.frozen", revision=frozen)
    blocks: list[Block] = [
        Table(
            COLUMNS,
            tuple(_row(status, frozen=bool(frozen)) for status in found),
            caption="Every code that was ever printed",
            empty="no card was released yet",
            row_ids=tuple(status.code for status in found),
        ),
        para(fixed("status.unknown-code", superseded=SUPERSEDED)),
        para("The cards of today: ", to("page:cards", "pocket cards"), "."),
    ]  # fmt: skip
    return page(
        id="page:status",
        path=path_of("page:status"),
        title="Card status",
        section="cards",
        lead=inlines(lead),
        blocks=blocks,
    )


def _row(status: CodeStatus, *, frozen: bool) -> tuple[Inlines, ...]:
    word = "current on that day" if frozen and status.state == "current" else STATES[status.state]
    gone = f"nothing: left out of {status.by}" if status.by else "nothing"
    replaced = inlines(f"{status.by}: ", Code(status.by_code)) if status.by_code else inlines(gone)
    changed = "; ".join(status.changed) or (ONLY_FOOT if status.state == "superseded" else "")
    return (
        (Code(status.code),),
        (Strong((Text(word),)),),
        inlines(status.title),
        (Day(status.valid_until, status.last_day),) if status.last_day else inlines(status.valid_until or "not told"),
        inlines(status.edition),
        replaced,
        inlines(changed or "nothing"),
    )
