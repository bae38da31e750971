"""Prints chosen pages as a book of their own."""

from collections.abc import Sequence

from builder import pipeline
from builder.pages.blocks import Page
from builder.render.jobs import Workshop


def print_pack(
    composed: pipeline.Composed, pages: Sequence[Page], sections: Sequence[tuple[str, str]], shop: Workshop
) -> bytes:
    """A PDF with cover, contents, these pages and an index, a chapter a section (id, title).

    :raises FitError: with every fault of every page.
    :raises RenderError: when the engine cannot set it faithfully.
    """
    from builder.pages.books.book import Book, BookChapter  # noqa: PLC0415 - as below
    from builder.pages.books.condensed import parted  # noqa: PLC0415 - as below
    from builder.pages.books.index import index_of  # noqa: PLC0415 - as below
    from builder.pages.handbook.handbook_context import names_of  # noqa: PLC0415 - as below
    from builder.render.book import Bindery, Printing  # noqa: PLC0415 - templates are loaded at first need
    from builder.render.markup import SiteFacts  # noqa: PLC0415

    judged = composed.judged
    facts = pipeline.site_facts(judged, draft=True)
    state = str(facts["revision"]).removeprefix("Draft ")
    about = SiteFacts(**{**facts, "draft": False, "revision": f"Evidence {state}"})
    chapters = tuple(
        BookChapter(title=title, pages=tuple(parted(page) for page in pages if page.section == name))
        for name, title in sections
        if any(page.section == name for page in pages)
    )
    book = Book(
        id="evidence",
        title="Evidence",
        purpose="For an auditor: what the program is, what it rests on and how it was kept.",
        chapters=chapters,
        index=index_of(pages, names_of(judged.program)),
    )
    own = {page.id: page.path for page in pages}
    printing = Printing(
        figures=judged.ledger.figures,
        hrefs={**composed.book_hrefs, **own},
        about=about,
        paper=judged.program.site.paper.value,
    )
    bindery = Bindery((book,), printing)
    bindery.start(shop)
    return bindery.bound(shop).files[book.path]
