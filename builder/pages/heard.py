"""What labels and log sheets say in other languages, found by composing each of them as it will be printed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from builder.base.where import Given
from builder.figures.ledger import Ledger
from builder.pages.forms import told_sheets
from builder.pages.labels import label_speakers, language_of, unit_labels
from builder.pages.numbers import spoken
from builder.pages.paper_words import ON_FORMS, ON_LABELS, fixed
from builder.pages.speaker import Speaker
from builder.pages.wording import ENGLISH
from builder.program.program import Program


def heard_papers(program: Program, ledger: Ledger, *, draft: bool) -> Iterator[tuple[str, Given[str], Speaker]]:
    """Every sheet of labels and every log sheet in another language: its name, that language, and who spoke."""
    for sheet, speaker in label_speakers(program):
        if speaker.language != ENGLISH:
            labels = unit_labels(program, ledger, draft=draft, speaker=speaker).values()
            _hear(ON_LABELS, (key for label in labels for key in label.figures), ledger, speaker)
            yield f"labels {sheet.id}", language_of(program, sheet), speaker
    for form, given, speaker in told_sheets(program, ledger, draft=draft, but=ENGLISH):
        _hear(ON_FORMS, form.figures, ledger, speaker)
        yield f"log sheet {form.id}", given, speaker


def _hear(texts: Mapping[str, str], figures: Iterable[str], ledger: Ledger, speaker: Speaker) -> None:
    """Ask for what is added when a paper is set: fixed words, and the words in figures."""
    fixed(texts, speaker.wording)
    for key in dict.fromkeys(figures):
        spoken(ledger[key], speaker.wording)
