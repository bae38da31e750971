"""All records of a program by unit, judged once and kept for the topics and rules that ask again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from builder.figures.ledger import Ledger
from builder.figures.logbook.units import Entry, UnitLog, read_unit
from builder.figures.logbook.verdicts import verdict_of
from builder.figures.logbook.windows import Lookup, Windows, windows_of
from builder.program.program import Program
from builder.program.records import Record


@dataclass(frozen=True, slots=True, kw_only=True)
class Logbook:
    """What all records say, as far as they are not later than the day everything is judged on."""

    windows: Windows
    units: Mapping[str, UnitLog]
    """By unit; those without records are left out."""
    strangers: Sequence[Record]
    """Records of units that the inventory does not have."""
    future: Sequence[Record]
    """Records later than the handbook's day, which prove nothing."""
    counts_use: bool
    """Whether any day of use is recorded at all."""


@dataclass(slots=True)
class _Kept:
    """The last one made, and what it was made from: figures, rules and pages ask for the same again and again."""

    program: Program
    as_of: date
    book: Logbook
    ledger: Lookup
    """The one that asked last; once it is finished, its windows need no second look."""


_kept: list[_Kept] = []


def logbook(program: Program, ledger: Lookup, as_of: date) -> Logbook:
    """The records of a program, judged by the windows of a ledger."""
    last = _kept[0] if _kept and _kept[0].program is program and _kept[0].as_of == as_of else None
    if last and last.ledger is ledger and isinstance(ledger, Ledger):
        return last.book
    windows = windows_of(program, ledger)
    if last and last.book.windows == windows:
        last.ledger = ledger
        return last.book
    made = _read(program, windows, as_of)
    _kept[:] = [_Kept(program, as_of, made, ledger)]
    return made


def _read(program: Program, windows: Windows, as_of: date) -> Logbook:
    fitted = {
        unit.id: tuple(position.sensor.value for position in program.models[unit.model.value].positions)
        for unit in program.units.values()
    }
    by_unit: dict[str, list[Entry]] = {}
    strangers: list[Record] = []
    future: list[Record] = []
    counts_use = False
    for record in program.records:
        sensors = fitted.get(record.unit.value)
        if record.day > as_of:
            future.append(record)
        if sensors is None:
            strangers.append(record)
        elif record.day <= as_of:
            counts_use = counts_use or record.kind.value == "use"
            by_unit.setdefault(record.unit.value, []).append((record, verdict_of(record, windows, sensors)))
    return Logbook(
        windows=windows,
        units={name: read_unit(entries, frozenset(fitted[name])) for name, entries in by_unit.items()},
        strangers=strangers,
        future=future,
        counts_use=counts_use,
    )
