"""Where a unit was, in what state and with whom, as its movements tell it."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import PurePosixPath

from builder.figures.figure import day_text
from builder.figures.logbook.states import Stay
from builder.pages.blocks import Block, Inlines
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import STATES, word
from builder.pages.handbook.parts import code, head, inlines, para, table
from builder.program.inventory import Unit

COLUMNS = ("From", "Until", "State", "Area", "Holder", "Certificate", "Written in")


def unit_stays(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    """Every row of its movements, newest first; nothing where the inventory alone tells its state."""
    if all(row.unit.value != unit.id for row in book.program.movements):
        return ()
    rows = (_row(book, stay) for stay in reversed(book.computed.logbook.stays[unit.id]))
    return (head("Where it was", "movements"), table(COLUMNS, rows), para(fixed("units.moved")))


def moment_text(moment: datetime | date | None) -> str:
    """A moment by the clock it was written with, as in ``14 Sep 2026, 07:00``; a day alone as a day."""
    if isinstance(moment, datetime):
        return f"{day_text(moment.date())}, {moment:%H:%M}"
    return day_text(moment) if moment else ""


def _row(book: HandbookContext, stay: Stay) -> tuple[Inlines, ...]:
    return (
        inlines(moment_text(stay.start)),
        inlines(moment_text(stay.end) or "now"),
        inlines(word(STATES, stay.state)),
        (book.link("area", stay.area),) if stay.area else (),
        inlines(stay.holder),
        inlines(stay.certificate),
        code(f"{PurePosixPath(stay.where.file).name}:{stay.where.line}"),
    )
