"""Books in binders: which pages may stay when a revision is released, and the sheet that tells what is exchanged.

A page that stays bears the revision at which its chapter was last printed otherwise; contents and index are always new,
and the contents say of each chapter how many pages must be there, of which revision.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from builder.base.digest import digest
from builder.history.chapters import ChapterTold, exchanges, page_span, since, staying
from builder.pages.books.book import Book
from builder.render.book_texts import ChangeSheet
from builder.render.documents import Made
from builder.render.leaves import Leaves
from builder.render.markup import SiteFacts
from builder.render.templates import stylesheet

ADDRESS: Final = re.compile(r' (?:id|href)="[^"]*"')
"""What a reader of paper does not see."""


def chapters_told(
    book: Book, chapters: Sequence[Leaves], about: SiteFacts, before: Sequence[ChapterTold], releasing: int
) -> tuple[ChapterTold, ...]:
    """What each chapter prints, and since when.

    Revision, day and draft mark are left out. The pages that contents and index name count, since those lists are
    printed anew and must lead to what stays.
    """
    named = {name for entry in book.index for name in (entry.main, *entry.others)} | {page.id for page in book.pages()}
    found = []
    for number, made in enumerate(chapters, start=1):
        first = made.documents[0]
        looks = (*first.css, *first.settings, stylesheet("frames.css"), book.title, about.name, about.invented)
        places = tuple(sorted(place for place in made.anchors if place[0] in named))
        prints = digest(ADDRESS.sub("", made.html), *looks, made.pages, places)
        title = book.chapters[number - 1].title
        told = ChapterTold(number=number, title=title, pages=made.pages, prints=prints, since=0)
        found.append(replace(told, since=since(told, before, releasing)))
    return tuple(found)


def change_sheet(told: Sequence[ChapterTold], before: Sequence[ChapterTold], index: Made) -> ChangeSheet:
    """The sheet that goes before the changed pages."""
    return ChangeSheet(
        exchanges=exchanges(before, told),
        staying=tuple(f"{one.number} {one.title}, {one.span}" for one in staying(before, told)),
        index=page_span(f"{len(told) + 1}-", index.pages),
        all_new=not before,
    )


def revision_words(told: ChapterTold) -> str:
    """The revision that the pages of a chapter bear."""
    return f"Revision {told.since}"


def must_be_there(told: ChapterTold, *, released: bool) -> str:
    """What the contents say of a chapter, so that a binder can be counted."""
    pages = "1 page" if told.pages == 1 else f"{told.pages} pages"
    return f"{pages}, {revision_words(told)}" if released else pages


def new_among(told: Sequence[ChapterTold], before: Sequence[ChapterTold]) -> tuple[int, ...]:
    """Places in the row of chapters of those that are printed anew, from 0."""
    stay = staying(before, told)
    return tuple(at for at, one in enumerate(told) if one not in stay)
