"""Which texts a card, a sheet of labels or a log sheet prints, and which of them lack a translation."""

from collections.abc import Iterable
from typing import Generic, TypeVar

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.figures.ledger import Ledger
from builder.pages.numbers import spoken
from builder.pages.translator import Translator

T = TypeVar("T")


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperTexts:
    """The texts of one paper in one language."""

    paper: str
    """The id of a card; of others what they are and which, as in ``labels small``."""
    language: Given[str]
    """As the content asks for it."""
    asked: tuple[str, ...]
    """The builder's own texts that it prints."""
    missing: tuple[tuple[Where, str], ...]
    """Those without translation, and texts of the content without, each with the line that asks for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Composition(Generic[T]):
    """Papers as they will be set, with the texts that each of them prints."""

    papers: tuple[T, ...]
    texts: tuple[PaperTexts, ...]
    """A paper in two languages has two."""


def paper_texts(
    paper: str,
    language: Given[str],
    translator: Translator,
    fixed: Iterable[str],
    figures: Iterable[str],
    ledger: Ledger,
) -> PaperTexts:
    """What a translator was asked for while a paper was composed, and what is added when it is set.

    :param fixed: texts that stand on every such paper.
    :param figures: keys of the figures that it prints; some have words.
    """
    wording = translator.wording
    for text in fixed:
        wording.text(text)
    for key in dict.fromkeys(figures):
        spoken(ledger[key], wording)
    missing = (*translator.missed, *((language.where, text) for text in wording.missing))
    return PaperTexts(paper=paper, language=language, asked=tuple(wording.asked), missing=missing)
