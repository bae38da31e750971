"""What test stations wrote down themselves: units tested, gas on their inlets, leak tests, software."""

from collections.abc import Iterable
from datetime import date, datetime

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.tables import SourceTable
from builder.program.column_maps import STATION_ROWS, ColumnMap
from builder.program.declared import asked, here, record
from builder.program.faults import Faults
from builder.program.records import RESULTS
from builder.program.table_kinds import STATION_LOG
from builder.program.table_row import TableRow, rows_read

TEST, LEAK_TEST = STATION_ROWS[0], STATION_ROWS[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class StationRow:
    """One row of a station's own log."""

    station: Given[str] = asked(TableRow.text)
    """Id as written; it may name a station that does not exist, which is a finding, not a fault."""
    time: Given[datetime]
    what: Given[str] = asked(TableRow.text)
    """One of ``STATION_ROWS``."""
    inlet: Given[int] | None
    lot: Given[str] | None = asked(TableRow.maybe_text)
    """Lot of the gas that it gave, as it was told."""
    unit: Given[str] | None = asked(TableRow.maybe_text)
    passed: bool | None
    software: Given[str] | None = asked(TableRow.maybe_text)
    where: Where = here()

    @property
    def day(self) -> date:
        """Its day, by the clock it was written with."""
        return self.time.value.date()


def read_station_log(
    tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], faults: Faults
) -> tuple[StationRow, ...]:
    """Every row by time."""
    made = rows_read(tables, maps, STATION_LOG, faults, _row)
    made.sort(key=lambda row: row.time.value)
    return tuple(made)


def _row(row: TableRow) -> StationRow | None:
    before = row.faults.count
    row.judge_word("what", STATION_ROWS)
    row.judge_word("result", RESULTS)
    inlet = row.maybe_text("inlet")
    if inlet is not None and not (inlet.value.isascii() and inlet.value.isdigit()):
        row.faults.number(row.where.line, f"{inlet.value!r} for 'inlet'", "the number of an inlet")
    if row.fields["what"] == TEST and "unit" not in row.fields:
        row.faults.lacks(row.where.line, "a test without unit", "the unit that was tested")
    time = row.time("time")
    if row.faults.count > before or time is None:
        return None
    number = Given(int(inlet.value), row.where, inlet.value) if inlet else None
    passed = row.fields["result"] == "pass" if "result" in row.fields else None
    return record(StationRow, time=time, inlet=number, passed=passed)(row)
