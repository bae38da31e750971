"""Prints chosen pages as a book of their own."""

from __future__ import annotations

from collections.abc import Sequence

from builder import pipeline
from builder.pages.blocks import Page


def print_pack(composed: pipeline.Composed, pages: Sequence[Page], sections: Sequence[tuple[str, str]]) -> bytes:
    """A PDF with cover, contents and these pages, in the order of ``sections`` (id, title).

    :raises RenderError: when the engine cannot set it faithfully.
    """
    from builder.pages.hrefs import hrefs  # noqa: PLC0415 - as below
    from builder.render.markup import Section, SiteFacts  # noqa: PLC0415 - templates are loaded at first need
    from builder.render.site import Book, print_book  # noqa: PLC0415

    judged = composed.judged
    facts = pipeline.site_facts(judged, draft=True)
    state = str(facts["revision"]).removeprefix("Draft ")
    own = {page.id: page.path for page in pages}
    about = SiteFacts(
        **{**facts, "draft": False, "title": f"Evidence: {facts['title']}", "revision": f"Evidence {state}"}
    )
    book = Book(
        pages=pages,
        figures=judged.ledger.figures,
        hrefs={**hrefs(composed.pages, judged.ledger, composed.cards), **own},
        sections=[Section(id=name, title=title) for name, title in sections],
        about=about,
        paper=judged.program.site.paper.value,
    )
    return print_book(book)
