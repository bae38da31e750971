"""The books of a site out of its pages and those made for paper alone."""

from collections.abc import Iterable
from dataclasses import replace

from builder.base.finding import Finding
from builder.figures.computed import Computed
from builder.pages.books.bench import bench_pages
from builder.pages.books.book import Book, BookChapter
from builder.pages.books.condensed import by_channels, condensed, said_once
from builder.pages.books.index import index_of
from builder.pages.books.openings import changes_page, inside_cover, opening_pages
from builder.pages.books.selection import selected, specs_of
from builder.pages.compositions import Page
from builder.pages.handbook.derivation_words import told_in_words
from builder.pages.handbook.handbook_context import HandbookContext, names_of
from builder.pages.outputs import Outputs


def compose_books(
    computed: Computed, findings: tuple[Finding, ...], pages: Iterable[Page], outputs: Outputs
) -> tuple[Book, ...]:
    """Every book, in the site's order.

    :raises ContentError: for references in ``books.yaml`` that no page has, and for a book without a page.
    """
    context = HandbookContext(
        computed=computed,
        findings=findings,
        prose=lambda _: (),  # pages made for paper alone have no prose of their own
        card_codes={},
        names=names_of(computed.program),
        outputs=outputs,
    )
    made = {page.id: page for page in (*opening_pages(context), *bench_pages(context))}
    known = made | {page.id: page for page in pages}
    inside, changes = inside_cover(context), changes_page(context)

    def in_words(page: Page) -> Page:
        return told_in_words(page, computed.ledger.figures, computed.ledger.figures)

    def on_paper(chapter: BookChapter) -> BookChapter:
        pages = (
            part
            for page in chapter.pages
            for part in ([page] if page.id in made else by_channels(condensed(in_words(page))))
        )
        return replace(chapter, pages=tuple(said_once(pages)))

    books = []
    for spec in specs_of(computed.program):
        chapters = tuple(map(on_paper, selected(spec, known)))
        book = Book(
            id=spec.id,
            title=spec.title.value,
            purpose=spec.purpose.value,
            chapters=chapters,
            inside=inside,
            changes=changes,
            index=index_of([page for chapter in chapters for page in chapter.pages], context.names),
        )
        books.append(book)
    return tuple(books)
