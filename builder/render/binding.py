"""What is joined to a book, and the job that joins it; the library for it is loaded where something is joined."""

from collections.abc import Mapping
from typing import Final

from builder.base.record import dataclass
from builder.render.pdf import PdfEngine
from builder.render.source_words import words_joined

ELSEWHERE: Final = "place:"
"""Begins a link to a place in another chapter; the engine takes it for an address."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """One chapter, or a part of one, as the engine wrote it."""

    pdf: bytes
    label: str
    """What stands before the number of each of its pages, as in ``4-``."""
    roman: bool = False
    """Whether its pages are numbered i, ii, iii."""
    first: int = 1
    """Number of its first page; a part of a chapter that begins after it goes on with its frame and bookmark."""

    @property
    def goes_on(self) -> bool:
        """Whether it goes on with the one before."""
        return self.first > 1


def joined(
    engine: PdfEngine, chapters: tuple[Chapter, ...], frames: bytes, titles: Mapping[str, str], whole: str = ""
) -> bytes:
    """One PDF; each chapter begins on a right-hand page, and pages stay empty before a part that begins later.

    :param frames: a PDF with two pages for each chapter, drawn under its right-hand and its left-hand pages: running
        head, foot, tab and draft mark, which no reader hears.
    :param titles: place -> what a link that leads there, or to a place inside it, is called for who hears it.
    :param whole: the file of the whole book, seen from this one, where only some chapters are there; else empty. A link
        to one that is missing leads into it.
    :raises RenderError: when a link leads to a place that no chapter has.
    """
    if not engine.lays_out:
        return words_joined([(chapter.label, chapter.pdf) for chapter in chapters], frames)
    from builder.render.joining import join  # noqa: PLC0415 - heavy, so loaded at first need

    return join(chapters, frames, titles, whole)
