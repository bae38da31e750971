"""What test stations wrote down themselves: units tested, gas on their inlets, leak tests, software."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime

from builder.base.nearest import near
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.tables import SourceTable
from builder.program.clock_times import TimeError
from builder.program.column_maps import STATION_FIELDS, STATION_ROWS, ColumnMap
from builder.program.columns import OpenTable, open_tables
from builder.program.faults import Faults
from builder.program.records import RESULTS

NEEDED = ("station", "time", "what")
TEST, LEAK_TEST = STATION_ROWS[0], STATION_ROWS[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class StationRow:
    """One row of a station's own log."""

    station: Given[str]
    """Id as written; it may name a station that does not exist, which is a finding, not a fault."""
    time: Given[datetime]
    what: Given[str]
    """One of ``STATION_ROWS``."""
    inlet: Given[int] | None
    lot: Given[str] | None
    """Lot of the gas that it gave, as it was told."""
    unit: Given[str] | None
    passed: bool | None
    software: Given[str] | None
    where: Where

    @property
    def day(self) -> date:
        """Its day, by the clock it was written with."""
        return self.time.value.date()


def read_station_log(
    tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], faults: Faults
) -> tuple[StationRow, ...]:
    """Every row by time."""
    made: list[StationRow] = []
    for table in open_tables(tables, maps, (STATION_FIELDS, NEEDED), faults):
        rows = (_row(table, where, fields, written) for where, fields, written in table.body())
        made += (row for row in rows if row is not None)
    made.sort(key=lambda row: row.time.value)
    return tuple(made)


def _row(table: OpenTable, where: Where, fields: Mapping[str, str], written: Mapping[str, str]) -> StationRow | None:
    """One row, or ``None`` when it is malformed, which is noted."""
    faults, time = table.rows.faults, None
    before = faults.count
    for name in NEEDED:
        if name not in fields:
            faults.lacks(where.line, f"no {name}", f"{name} in every row")
    for name, words in (("what", STATION_ROWS), ("result", RESULTS)):
        if fields.get(name, words[0]) not in words:
            allowed = "one of " + ", ".join(words)
            faults.choice(where.line, f"{fields[name]!r} for {name!r}", allowed, near(fields[name], words))
    inlet = fields.get("inlet")
    if inlet is not None and not (inlet.isascii() and inlet.isdigit()):
        faults.number(where.line, f"{inlet!r} for 'inlet'", "the number of an inlet")
    if fields.get("what") == TEST and "unit" not in fields:
        faults.lacks(where.line, "a test without unit", "the unit that was tested")
    if "time" in fields:
        try:
            time = table.clock.read(fields["time"])
        except TimeError as error:
            faults.time(where.line, error.found, error.allowed)
    if faults.count > before or time is None:
        return None

    def text(name: str) -> Given[str] | None:
        return Given(fields[name], where, written.get(name, fields[name])) if name in fields else None

    return StationRow(
        station=Given(fields["station"], where, fields["station"]),
        time=Given(time, where, fields["time"]),
        what=Given(fields["what"], where, fields["what"]),
        inlet=Given(int(inlet), where, inlet) if inlet else None,
        lot=text("lot"),
        unit=text("unit"),
        passed=fields["result"] == "pass" if "result" in fields else None,
        software=text("software"),
        where=where,
    )
