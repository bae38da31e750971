"""A site of any size, made from the small sound one: every unit bumped and used each day, one of them badly."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction

from builder.base.where import Given, Where
from builder.program.records import Record

LAST = date(2026, 11, 24)


def given(value, where):
    return Given(value, where, str(value))


def row(line, unit, moment, kind, **more):
    where = Where("records/made.csv", line)
    fields = {"sensor": None, "cylinder": None, "as_found": None, "as_left": None, "seconds": None, "result": None}
    fields |= {"by": None} | {
        name: given(Fraction(value) if name in ("as_found", "as_left", "seconds") else value, where)
        for name, value in more.items()
    }
    return Record(
        unit=given(unit, where), time=given(moment, where), kind=given(kind, where), note="", where=where, **fields
    )


def grown(program, units, days):
    """``units`` copies of the first unit and, for each and each of ``days`` days, one bump test and one use."""
    first = next(iter(program.units.values()))
    names = [f"u-{number}" for number in range(units)]
    made = {name: replace(first, id=name, last={**first.last, "bump": given(LAST, first.where)}) for name in names}
    records = []
    for day in range(days, 0, -1):
        at = datetime(2026, 11, 25, 6, tzinfo=UTC) - timedelta(days=day)
        for number, name in enumerate(names):
            moment = at + timedelta(seconds=90 * number)
            records.append(row(len(records) + 2, name, moment, "bump-test", sensor="bead", cylinder="c-1",
                               as_found=50, result="pass"))  # fmt: skip
    for day in range(days, 0, -1):
        at = datetime(2026, 11, 25, 20, tzinfo=UTC) - timedelta(days=day)
        records += [row(len(records) + 2 + number, name, at, "use") for number, name in enumerate(names)]
    records.sort(key=lambda record: record.time.value)
    return replace(program, units=made, records=tuple(records))
