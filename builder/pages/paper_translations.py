"""What labels and log sheets say in other languages, found by composing each of them as it will be printed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.pages.forms import told_sheets
from builder.pages.labels import label_speakers, language_of, unit_labels
from builder.pages.numbers import spoken
from builder.pages.paper_words import ON_FORMS, ON_LABELS, fixed
from builder.pages.translator import Translator
from builder.program.languages import ENGLISH


def composed_papers(computed: Computed, *, draft: bool) -> Iterator[tuple[str, Given[str], Translator]]:
    """Every sheet of labels and every log sheet in another language: its name, that language, and who spoke."""
    program, ledger = computed.program, computed.ledger
    for sheet, translator in label_speakers(program):
        if translator.language != ENGLISH:
            labels = unit_labels(computed, draft=draft, translator=translator).values()
            _hear(ON_LABELS, (key for label in labels for key in label.figures), ledger, translator)
            yield f"labels {sheet.id}", language_of(program, sheet), translator
    for form, given, translator in told_sheets(computed, draft=draft, but=ENGLISH):
        _hear(ON_FORMS, form.figures, ledger, translator)
        yield f"log sheet {form.id}", given, translator


def _hear(texts: Mapping[str, str], figures: Iterable[str], ledger: Ledger, translator: Translator) -> None:
    """Ask for what is added when a paper is set: fixed words, and the words in figures."""
    fixed(texts, translator.wording)
    for key in dict.fromkeys(figures):
        spoken(ledger[key], translator.wording)
