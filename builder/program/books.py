"""The printed books of a site: which there are, and what stands in each, chapter by chapter."""

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here, identity, record, under
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class ChapterSpec:
    """One chapter."""

    title: Given[str] = asked(Fields.text)
    pages: tuple[Given[str], ...] = asked(Fields.texts, required=True)
    """References such as ``procedure:bump-test``; ``gas:*`` stands for every gas that the book names nowhere else."""


def _chapter(fields: Fields) -> ChapterSpec:
    chapter = record(ChapterSpec)(fields)
    fields.faults.refuse_twins(chapter.pages, "{!r} stands twice in this chapter", "each once")
    return chapter


@dataclass(frozen=True, slots=True, kw_only=True)
class BookSpec:
    """One book."""

    id: str = identity("book")
    title: Given[str] = asked(Fields.text)
    purpose: Given[str] = under("for", Fields.text)
    """For whom it is, in one sentence, printed on the cover."""
    chapters: tuple[ChapterSpec, ...] = asked(Fields.parts, "chapter", _chapter)
    where: Where = here("id")
