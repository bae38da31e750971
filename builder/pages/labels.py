"""Labels for the units: who it is, until when its checks hold, and a code the unit's page shows too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from builder.base.quantity import magnitude
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.due_checks import DueCheck, State
from builder.figures.ledger import Ledger
from builder.pages.blocks import Fig, Inlines, Strong, figures_in
from builder.pages.handbook.labels import STATES, capital, word
from builder.pages.paper_texts import Composition, PaperTexts, paper_texts
from builder.pages.paper_words import ON_LABELS
from builder.pages.plain import Words
from builder.pages.seen_text import Seen, seen_code
from builder.pages.translator import Translator
from builder.pages.wording import NotingWording
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.labels import LabelSheet
from builder.program.program import Program

GONE = "retired"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelGrid:
    """Where labels lie on their sheet, in millimetres from the upper left corner of the paper held upright."""

    id: str
    paper: str
    width: float
    height: float
    columns: int
    rows: int
    left: float
    top: float
    gap_x: float
    gap_y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLabel:
    """One label."""

    unit: str
    serial: str
    lines: tuple[Inlines, ...]
    """Until when each check holds."""
    code: str
    draft: bool

    @property
    def figures(self) -> tuple[str, ...]:
        """Keys of the figures it prints, in reading order, each once."""
        return tuple(dict.fromkeys(figures_in(self.lines)))


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPages:
    """All labels on one kind of sheet."""

    grid: LabelGrid
    labels: tuple[UnitLabel, ...]
    language: str
    draft: bool
    copies: int = 1
    """Of each label, one beside the other."""
    start: int = 1
    """Place of the first label on the first sheet, counted row by row from 1."""

    @property
    def path(self) -> str:
        """Where its PDF lies."""
        return f"labels/{self.grid.id}.pdf"

    @property
    def figures(self) -> tuple[str, ...]:
        """Keys of the figures it prints, in reading order, each once."""
        return tuple(dict.fromkeys(key for label in self.labels for key in label.figures))


def label_pages(computed: Computed, *, draft: bool) -> Composition[LabelPages]:
    """The labels of all units on each kind of sheet the site names; none when it names none."""
    made = [_pages(computed, sheet, draft=draft) for sheet in computed.program.labels]
    return Composition(
        papers=tuple(pages for pages, _ in made if pages.labels), texts=tuple(texts for _, texts in made)
    )


def _pages(computed: Computed, sheet: LabelSheet, *, draft: bool) -> tuple[LabelPages, PaperTexts]:
    program, language = computed.program, language_of(computed.program, sheet)
    translator = Translator(program=program, wording=NotingWording(language=language.value))
    pages = LabelPages(
        grid=grid_of(sheet),
        labels=tuple(unit_labels(computed, draft=draft, translator=translator).values()),
        language=language.value,
        draft=draft,
        copies=sheet.copies,
        start=sheet.start,
    )
    name = f"labels {sheet.id}"
    return pages, paper_texts(name, language, translator, ON_LABELS.values(), pages.figures, computed.ledger)


def language_of(program: Program, sheet: LabelSheet) -> Given[str]:
    """What the labels on a sheet speak."""
    return sheet.language or program.site.languages[0]


def unit_labels(computed: Computed, *, draft: bool, translator: Translator | None = None) -> dict[str, UnitLabel]:
    """The label of each unit that is not retired, by its id; its code is the same in every language."""
    program, ledger = computed.program, computed.ledger
    first = Translator(program=program)
    asked: dict[str, list[DueCheck]] = {}
    for due in computed.due_checks:
        if due.check.part is None:  # changing a part is the bench's work: see the unit's page and log sheet
            asked.setdefault(due.unit.id, []).append(due)
    made: dict[str, UnitLabel] = {}
    for unit in program.units.values():
        if unit.state.value != GONE:
            code = _code(first, ledger, _label(first, unit, asked.get(unit.id, ()), draft=draft))
            made[unit.id] = replace(_label(translator or first, unit, asked.get(unit.id, ()), draft=draft), code=code)
    return made


def grid_of(sheet: LabelSheet) -> LabelGrid:
    """The grid of a sheet as plain millimetres."""
    lengths = (sheet.width, sheet.height, sheet.left, sheet.top, sheet.gap_x, sheet.gap_y)
    width, height, left, top, gap_x, gap_y = (float(magnitude(given.value, "mm")) for given in lengths)
    return LabelGrid(
        id=sheet.id,
        paper=sheet.paper.value,
        width=width,
        height=height,
        columns=sheet.columns.value,
        rows=sheet.rows.value,
        left=left,
        top=top,
        gap_x=gap_x,
        gap_y=gap_y,
    )


def _label(translator: Translator, unit: Unit, asked: Sequence[DueCheck], *, draft: bool) -> UnitLabel:
    if unit.state.value in CHECKED_STATES:
        lines = tuple(_lines(translator, asked))
    else:
        lines = ((Strong(translator.words(capital(word(STATES, unit.state.value)))),),)
    return UnitLabel(unit=unit.id, serial=unit.serial.value, lines=lines, code="", draft=draft)


def _code(translator: Translator, ledger: Ledger, label: UnitLabel) -> str:
    """A short code of everything that a label says."""
    words = Words(ledger.figures)
    seen: list[Seen] = [label.unit, label.serial, [words.inline(line) for line in label.lines], label.draft]
    return seen_code(translator.program.site.short.value, seen)


def _lines(translator: Translator, asked: Sequence[DueCheck]) -> Iterator[Inlines]:
    for due in sorted((due for due in asked if due.state is not State.DAILY), key=lambda due: due.day or date.min):
        name = translator.named(due.check)
        if due.key:
            yield translator.sentence("{check}: until {day}", check=name, day=(Fig(due.key),))
        else:
            yield translator.sentence("{check}: {state}", check=name, state=translator.text(due.state.value))
    daily = [translator.named(due.check) for due in asked if due.state is State.DAILY]
    if daily:
        yield translator.words("Before each day’s use: {checks}", checks="; ".join(daily))
