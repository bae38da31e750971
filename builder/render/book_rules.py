"""What every page of a printed book is held to."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from builder.base.record import dataclass
from builder.render.documents import Judgement, Laid
from builder.render.printed_pages import Piece, PrintedPage, Span

SLACK = 0.3
"""Millimetres that letters may reach out of their box, as slanted ones do."""
THIN = 1 / 3
"""Share of a page under which it is thin."""
SAVED: Final = 0.11
"""Of a page for each, what closer setting saves at most, or near it: a list of steps becomes a fifth lower."""


@dataclass(frozen=True, slots=True)
class PageRules:
    """Nothing leaves the type area or its column; notes on pages that are set badly."""

    name: str
    """How faults name the chapter."""
    label: str
    """What stands before the number of a page."""
    first: int = 1
    """Number of the first page."""

    def judge(self, laid: Laid) -> Judgement:
        """What is wrong with the pages of a chapter, and what is only bad."""
        pages = laid.printed_pages
        faults = [fault for number, page in enumerate(pages, start=1) for fault in self._leaving(page, number)]
        notes = [note for number, (page, after) in enumerate(pairwise((*pages, None)), start=1)
                 if page is not None for note in self._badly_set(page, after, number)]  # fmt: skip
        thin = len(pages) > 1 and _filled(pages[-1], _texts(pages[-1])) < min(THIN, SAVED * len(pages))
        torn = not all(map(_texts, pages))  # what should face each other does not
        return Judgement(faults=tuple(faults), notes=tuple(notes), ends_thin=thin or torn)

    def _at(self, number: int) -> str:
        return f"{self.name}, page {self.label}{self.first - 1 + number}"

    def _leaving(self, page: PrintedPage, number: int) -> Iterator[str]:
        """The worst of each table, and of all that is in none."""
        out: dict[tuple[str, str], float] = {}
        for piece in page.pieces:
            for where, bounds in (("type area", page.area), ("column", piece.cell)):
                if bounds is None or (where == "column" and piece.kind != "text"):
                    continue
                reach = _out_of(piece.span, bounds, sides_only=where == "column")
                if reach > SLACK:
                    what = f"table {piece.table!r}" if piece.table else f"{piece.words.strip()[:30] or piece.kind!r}"
                    out[what, where] = max(reach, out.get((what, where), 0))
        for (what, where), reach in out.items():
            yield f"{self._at(number)}: {what} reaches {reach:.1f} mm out of its {where}"

    def _badly_set(self, page: PrintedPage, after: PrintedPage | None, number: int) -> Iterator[str]:
        texts = _texts(page)
        if not texts:
            yield f"{self._at(number)}: nothing stands on it"
            return
        last = texts[-1]
        if last.heading:
            yield f"{self._at(number)}: the heading {last.words.strip()!r} stands alone at the foot"
        if last.table_head:
            yield f"{self._at(number)}: the head of table {last.table!r} stands alone at the foot"
        if after is not None and _filled(page, texts) < THIN and not _begins_anew(after):
            yield f"{self._at(number)}: under a third of it is used"


def _out_of(span: Span, bounds: Span, *, sides_only: bool) -> float:
    left, top, right, bottom = (one - other for one, other in zip(span, bounds, strict=True))
    return max(-left, right, *(() if sides_only else (-top, bottom)))


def _texts(page: PrintedPage) -> list[Piece]:
    return [piece for piece in page.pieces if piece.kind in ("text", "picture")]


def _filled(page: PrintedPage, texts: Sequence[Piece]) -> float:
    _, top, _, bottom = page.area
    return (max((piece.span[3] for piece in texts), default=top) - top) / (bottom - top)


def _begins_anew(page: PrintedPage) -> bool:
    """Whether a page begins with a heading, so that the one before it ended on purpose."""
    texts = _texts(page)
    return bool(texts) and texts[0].heading
