"""Pages the site writes itself, and those the builder completes: the program, cautions."""

from collections.abc import Iterator

from builder.pages.blocks import Block
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, facts, head, inlines, listed, page, para, points, table, to
from builder.pages.handbook.sections import SECTIONS
from builder.program.keys import families as keyed
from builder.program.prose import ProsePage
from builder.program.revisions import Revision

BUILT_ON = ("home", "cautions", "program")
"""Pages of the site that the builder completes."""
INDEXES_OF = {name: (index, title) for name, title, index in SECTIONS}
ASSUMED = (
    "cautions.one-gas", "cautions.basis", "cautions.factor", "cautions.by-mass", "cautions.rounding",
    "cautions.ordinary-day", "cautions.hose", "cautions.oxygen", "cautions.unproven", "cautions.limit",
    "cautions.bump", "cautions.calibration", "cautions.not-read",
)  # fmt: skip
"""What every number assumes, a text each."""


def cautions_page(book: HandbookContext) -> Page:
    """The page ``page:cautions``: the site's own words, then what every number assumes."""
    prose = book.program.pages["cautions"]
    others = [p for p in _pages(book, "about") if p.id != "cautions"]
    blocks: list[Block] = [*book.prose(prose.body), head("What every number assumes")]
    blocks += points(fixed(name) for name in ASSUMED)
    displaced = book.maybe(keyed.OXYGEN_DISPLACED())
    if displaced:
        blocks.append(para(fixed("cautions.displaced", gas=displaced)))
    blocks += [head("About this handbook"), *_list(others)] if others else []
    return page("page:cautions", prose.title, "about", fixed("cautions.lead"), blocks)


def program_page(book: HandbookContext) -> Page:
    """The page ``page:program``: document control, contacts, revisions, and the site's own pages about its program."""
    document = book.program.site.document
    own = book.program.pages.get("program")
    others = [p for p in _pages(book, "program") if p.id != "program"]
    blocks: list[Block] = [*book.prose(own.body)] if own else []
    blocks += [head("In the site's own words"), *_list(others)] if others else []
    blocks += [
        head("Document control"),
        facts(
            ("Title", document.title.value),
            ("Owner", document.owner.value),
            ("Reviewed every", book.interval(keyed.DOCUMENT_REVIEW_EVERY(), document.review_every)),
            ("Last review", book.maybe(keyed.DOCUMENT_REVIEWED())),
            ("Review due by", book.fig(keyed.DOCUMENT_REVIEW_DUE())),
            ("Cards are valid for", book.interval(keyed.DOCUMENT_CARDS_VALID_FOR(), document.cards_valid_for)),
        ),
        *_contacts(book),
        head("Revisions"),
        _revisions(book),
        para(fixed("program.further")),
    ]
    lead = fixed("program.lead")
    return page("page:program", own.title if own else "The program", "program", lead, blocks)


def prose_pages(book: HandbookContext, section: str) -> Iterator[Page]:
    """The site's own pages of a section, apart from those the builder completes."""
    for prose in _pages(book, section):
        if prose.id not in BUILT_ON:
            yield page(
                f"page:{prose.id}",
                prose.title,
                section,
                inlines(f"In the words of {book.program.site.name.value}."),
                (*book.prose(prose.body), _onward(book, prose)),
            )


def _onward(book: HandbookContext, here: ProsePage) -> Block:
    """The index of its section and the site's other pages there, so that no page of its own is an end."""
    others = (page for page in _pages(book, here.section) if page.id not in (here.id, *BUILT_ON))
    index = INDEXES_OF[here.section]
    return para("See also: ", *listed((to(*index), *(to(f"page:{page.id}", page.title) for page in others))), ".")


def _pages(book: HandbookContext, section: str) -> list[ProsePage]:
    found = [prose for prose in book.program.pages.values() if prose.section == section]
    return sorted(found, key=lambda prose: (prose.order, prose.id))


def _list(pages: list[ProsePage]) -> tuple[Block, ...]:
    return points(inlines(to(f"page:{prose.id}", prose.title)) for prose in pages)


def _contacts(book: HandbookContext) -> tuple[Block, ...]:
    contacts = book.program.site.contacts
    rows = ((contact.role.value, contact.name.value, f"{contact.call.value}{contact.besides}") for contact in contacts)
    return (head("Contacts"), table(("For", "Who", "Call"), rows, empty="no contact is given"))


def _revisions(book: HandbookContext) -> Block:
    rows = (_revision(book, revision) for revision in reversed(book.program.revisions))
    columns = ("Revision", "Effective", "What changed and why", "Prepared", "Reviewed", "Approved")
    return table(columns, rows, empty="nothing was released yet")


def _revision(book: HandbookContext, revision: Revision) -> Row:
    number = revision.number.value
    return (
        str(number),
        book.maybe(keyed.REVISION_EFFECTIVE(revision=number)) or revision.effective.value.isoformat(),
        revision.reason.value,
        revision.prepared.value,
        revision.review,
        revision.approval,
    )
