"""Labels for the units: who it is, until when its checks hold, and a code the unit's page shows too."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from builder.base.quantity import magnitude
from builder.figures.ledger import Ledger
from builder.findings.states import Due, State, dues
from builder.pages.blocks import Fig, Inlines, Strong, Text, figures_in
from builder.pages.codes import short_code
from builder.pages.handbook.words import STATES, capital, word
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
class Label:
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
    labels: tuple[Label, ...]
    language: str
    draft: bool

    @property
    def path(self) -> str:
        """Where its PDF lies."""
        return f"labels/{self.grid.id}.pdf"

    @property
    def figures(self) -> tuple[str, ...]:
        """Keys of the figures it prints, in reading order, each once."""
        return tuple(dict.fromkeys(key for label in self.labels for key in label.figures))


def label_pages(program: Program, ledger: Ledger, *, draft: bool) -> tuple[LabelPages, ...]:
    """The labels of all units on each kind of sheet the site names; none when it names none."""
    labels = tuple(unit_labels(program, ledger, draft=draft).values())
    language = program.site.languages[0].value
    return tuple(
        LabelPages(grid=grid_of(sheet), labels=labels, language=language, draft=draft)
        for sheet in program.labels
        if labels
    )


def unit_labels(program: Program, ledger: Ledger, *, draft: bool) -> dict[str, Label]:
    """The label of each unit that is not retired, by its id."""
    asked: dict[str, list[Due]] = {}
    for due in dues(program, ledger):
        asked.setdefault(due.unit.id, []).append(due)
    return {
        unit.id: _label(program, ledger, unit, asked.get(unit.id, ()), draft=draft)
        for unit in program.units.values()
        if unit.state.value != GONE
    }


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


def _label(program: Program, ledger: Ledger, unit: Unit, asked: Sequence[Due], *, draft: bool) -> Label:
    lines = (
        _lines(asked)
        if unit.state.value in CHECKED_STATES
        else ((Strong(_words(capital(word(STATES, unit.state.value)))),),)
    )
    label = Label(unit=unit.id, serial=unit.serial.value, lines=lines, code="", draft=draft)
    printed = [[key, ledger[key].printed] for key in label.figures]
    told = json.dumps([repr(label), printed], ensure_ascii=True).encode()
    return replace(label, code=short_code(program.site.short.value, told))


def _lines(asked: Sequence[Due]) -> tuple[Inlines, ...]:
    dated = sorted((due for due in asked if due.state is not State.DAILY), key=lambda due: due.day or date.min)
    made = [_dated(due) for due in dated]
    daily = [due.check.name for due in asked if due.state is State.DAILY]
    if daily:
        made.append(_words(f"Before each day's use: {'; '.join(daily)}"))
    return tuple(made)


def _dated(due: Due) -> Inlines:
    if due.key:
        return (Text(f"{due.check.name}: until "), Fig(due.key))
    return _words(f"{due.check.name}: {due.state.value}")


def _words(text: str) -> Inlines:
    return (Text(text),)
