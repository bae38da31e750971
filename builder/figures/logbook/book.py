"""All records of a program by unit, judged once for the topics, rules and pages that ask."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from pathlib import PurePosixPath

from builder.base.record import dataclass
from builder.figures.ledger import Lookup
from builder.figures.logbook.states import Stays, stays_of
from builder.figures.logbook.units import Entry, UnitLog, read_unit
from builder.figures.logbook.verdicts import verdict_of
from builder.figures.logbook.windows import Windows, windows_of
from builder.program.keys.families import RECORD_DAY
from builder.program.program import Program
from builder.program.records import Record

ENDING = re.compile(r"\.[a-z]+(?=#|$)")
"""The ending of a file, before the sheet of a workbook if one is named."""


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
    stays: Mapping[str, Stays]
    """By unit of the inventory: in what state, where and with whom it was."""
    read_back: Mapping[str, Sequence[date]]
    """By unit, the days on which its settings were read back."""
    files: Mapping[str, str]
    """Each file of records to the part of a key that names it."""

    def key_of(self, record: Record) -> str:
        """What the figures of one row begin with, or of one sensor in a row of several."""
        row = f"{record.where.line}-{record.sensor.value}" if record.shares_row and record.sensor else record.where.line
        return RECORD_DAY.start(file=self.files[record.where.file], row=row)


def read_logbook(program: Program, ledger: Lookup, as_of: date) -> Logbook:
    """The records of a program, judged by the windows of a ledger; made once, and passed on to whoever asks."""
    windows = windows_of(program, ledger)
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
        units={
            name: read_unit(entries, frozenset(fitted[name]), program.units[name].fitted_on)
            for name, entries in by_unit.items()
        },
        strangers=strangers,
        future=future,
        counts_use=counts_use,
        stays=stays_of(program),
        read_back=_read_back(program),
        files=file_names(record.where.file for record in program.records),
    )


def _read_back(program: Program) -> dict[str, tuple[date, ...]]:
    days: dict[str, dict[date, None]] = {}
    for setting in program.settings:
        days.setdefault(setting.unit.value, {})[setting.read_on.value] = None
    return {unit: tuple(read) for unit, read in days.items()}


def file_names(files: Iterable[str]) -> dict[str, str]:
    """Each file to the part of a key that names it; two alike are told apart by a number.

    >>> file_names(["records/2026 Q1.csv", "records/2026-q1.csv"])
    {'records/2026 Q1.csv': '2026-q1', 'records/2026-q1.csv': '2026-q1--2'}
    >>> file_names(["records/bench.xlsx#June", "records/bench.xlsx#May"])
    {'records/bench.xlsx#June': 'bench-june', 'records/bench.xlsx#May': 'bench-may'}
    """
    made: dict[str, str] = {}
    taken: Counter[str] = Counter()
    for file in sorted(set(files)):
        name = ENDING.sub("", PurePosixPath(file).name.lower())
        stem = re.sub(r"[^a-z0-9]+", "-", name).strip("-") or "file"
        taken[stem] += 1
        made[file] = stem if taken[stem] == 1 else f"{stem}--{taken[stem]}"
    return made
