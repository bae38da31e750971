"""What each chapter of the printed books says, so that a release need only print those that changed."""

from collections.abc import Mapping, Sequence
from typing import Final, TypeAlias

from builder.base.errors import ArchiveError
from builder.base.record import dataclass
from builder.history.ledger_files import Read, read_data

CHAPTERS: Final = "chapters.json"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterTold:
    """A chapter of a book as an edition prints it."""

    number: int
    title: str
    pages: int
    prints: str
    """The same for two chapters exactly when every page of one may stand for that of the other."""
    since: int
    """The revision that printed it so first, and that its pages bear; 0 before it is released."""

    @property
    def span(self) -> str:
        """Its pages as they are numbered.

        >>> ChapterTold(number=4, title="Gases", pages=6, prints="", since=1).span
        '4-1 to 4-6'
        """
        return page_span(f"{self.number}-", self.pages)


ChaptersTold: TypeAlias = Mapping[str, Sequence[ChapterTold]]
"""Id of a book -> its chapters in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """What is done with one chapter of a binder."""

    title: str
    out: str
    """Pages to take out, or empty."""
    into: str
    """Pages to put in, or empty."""


def page_span(label: str, pages: int) -> str:
    """The first and last number of some pages.

    >>> page_span("5-", 1)
    '5-1'
    """
    return f"{label}1 to {label}{pages}" if pages > 1 else f"{label}1"


def since(chapter: ChapterTold, before: Sequence[ChapterTold], releasing: int) -> int:
    """The revision that a chapter's pages bear: an earlier one where the same was printed then, else this one."""
    return next((old.since for old in before if old.prints == chapter.prints and old.since), releasing)


def staying(before: Sequence[ChapterTold], now: Sequence[ChapterTold]) -> tuple[ChapterTold, ...]:
    """The chapters whose pages may stay in a binder."""
    known = {chapter.prints for chapter in before}
    return tuple(chapter for chapter in now if chapter.prints in known)


def exchanges(before: Sequence[ChapterTold], now: Sequence[ChapterTold]) -> tuple[Exchange, ...]:
    """What is taken out and put in, by the numbers of chapters."""
    kept = {chapter.prints for chapter in staying(before, now)}
    out = {chapter.number: chapter for chapter in before if chapter.prints not in kept}
    into = {chapter.number: chapter for chapter in now if chapter.prints not in kept}
    return tuple(
        Exchange(
            title=f"{number} {(into.get(number) or out[number]).title}",
            out=out[number].span if number in out else "",
            into=into[number].span if number in into else "",
        )
        for number in sorted({*out, *into})
    )


def read_chapters(read: Read, what: str) -> ChaptersTold:
    """The chapters of an edition whose files ``read`` gives; none where it was made before they were told.

    :raises ArchiveError: when they are told otherwise than a builder does.
    """
    try:
        read(CHAPTERS)
    except OSError:
        return {}
    found = read_data(read, CHAPTERS, what)
    try:
        return {book: tuple(_told(entry) for entry in entries) for book, entries in found["books"].items()}
    except (KeyError, TypeError, AttributeError, ValueError) as fault:
        raise ArchiveError(f"{what}/{CHAPTERS}: not of the form that a builder writes: {fault!r}") from fault


def _told(entry: Mapping[str, object]) -> ChapterTold:
    number, pages, revision = (int(str(entry[name])) for name in ("number", "pages", "since"))
    return ChapterTold(
        number=number, title=str(entry["title"]), pages=pages, prints=str(entry["prints"]), since=revision
    )
