"""The printed books of a site: which there are, and what stands in each, chapter by chapter."""

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterSpec:
    """One chapter."""

    title: Given[str]
    pages: tuple[Given[str], ...]
    """References such as ``procedure:bump-test``; ``gas:*`` stands for every gas that the book names nowhere else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BookSpec:
    """One book."""

    id: str
    title: Given[str]
    purpose: Given[str]
    """For whom it is, in one sentence, printed on the cover."""
    chapters: tuple[ChapterSpec, ...]
    where: Where


def read_book(fields: Fields) -> BookSpec:
    """An entry of ``books.yaml``."""
    identity = fields.identity("book")
    return BookSpec(
        id=identity.value,
        title=fields.text("title"),
        purpose=fields.text("for"),
        chapters=fields.parts("chapters", "chapter", _chapter),
        where=identity.where,
    )


def _chapter(fields: Fields) -> ChapterSpec:
    title, pages = fields.text("title"), fields.texts("pages", required=True)
    fields.faults.refuse_twins(pages, "{!r} stands twice in this chapter", "each once")
    return ChapterSpec(title=title, pages=pages)
