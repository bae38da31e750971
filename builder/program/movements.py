"""Where each unit was and in what state: issue, return, loan, hire, quarantine, repair, as dated rows."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime

from builder.base.nearest import near
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.rows import RowFaults
from builder.load.tables import SourceTable
from builder.program.clock_times import Clock, TimeError
from builder.program.column_maps import MOVEMENT_FIELDS, ColumnMap
from builder.program.columns import open_tables
from builder.program.faults import Faults
from builder.program.inventory import STATES

NEEDED = ("unit", "from", "state")


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One row: a unit is in one state, with one holder, in one area, from one moment to another."""

    unit: Given[str]
    """Id as written; it may name a unit that does not exist, which is a finding, not a fault."""
    start: Given[datetime]
    end: Given[datetime] | None
    """First moment at which it is no longer so; ``None`` while nothing later is said."""
    state: Given[str]
    """One of ``STATES``."""
    holder: Given[str] | None
    area: Given[str] | None
    """Where it is used or kept; its place in the inventory where the row does not say."""
    certificate: Given[str] | None
    """What shows that a hired unit was calibrated by who owns it."""
    certificate_until: Given[date] | None = None
    """Last day on which that counts."""
    note: str
    where: Where


def read_movements(tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], faults: Faults) -> tuple[Movement, ...]:
    """Every row by time; those of one time in the order of files and rows."""
    made: list[Movement] = []
    for table in open_tables(tables, maps, (MOVEMENT_FIELDS, NEEDED), faults):
        reader = _MovementReader(table.clock, table.rows.faults, faults.names("area"))
        for where, fields, written in table.body():
            row = reader.movement(fields, written, where)
            if row is not None:
                made.append(row)
    made.sort(key=lambda row: row.start.value)
    return tuple(made)


class _MovementReader:
    """Reads the rows of one file."""

    def __init__(self, clock: Clock, faults: RowFaults, areas: frozenset[str] | None) -> None:
        self.clock = clock
        self.faults = faults
        self.areas = areas

    def movement(self, fields: Mapping[str, str], written: Mapping[str, str], where: Where) -> Movement | None:
        """One row, or ``None`` when it is malformed, which is noted."""
        before = self.faults.count
        state, area = fields["state"], fields.get("area")
        if state not in STATES:
            self.faults.choice(where.line, f"{state!r} for 'state'", "one of " + ", ".join(STATES), near(state, STATES))
        if area and self.areas is not None and area not in self.areas:
            self.faults.unknown(where.line, f"unknown area {area!r}", "an area of areas.yaml", near(area, self.areas))
        start, end = self._time(fields, "from", where), self._time(fields, "to", where)
        if start and end and end.value <= start.value:
            self.faults.add(where.line, f"to {end.text}, not after from {start.text}", "an end after its start")
        until = self._day(fields, "certificate-until", where)
        if until and "certificate" not in fields:
            self.faults.lacks(where.line, "certificate-until without certificate", "which certificate that is")
        if self.faults.count > before or start is None:
            return None

        def text(name: str) -> Given[str] | None:
            return Given(fields[name], where, written.get(name, fields[name])) if name in fields else None

        return Movement(
            unit=Given(fields["unit"], where, written.get("unit", fields["unit"])),
            start=start,
            end=end,
            state=Given(state, where, written.get("state", state)),
            holder=text("holder"),
            area=text("area"),
            certificate=text("certificate"),
            certificate_until=until,
            note=fields.get("note", ""),
            where=where,
        )

    def _day(self, fields: Mapping[str, str], name: str, where: Where) -> Given[date] | None:
        if name not in fields:
            return None
        try:
            return Given(self.clock.day(fields[name]), where, fields[name])
        except TimeError as error:
            self.faults.time(where.line, f"{name}: {error.found}", error.allowed)
            return None

    def _time(self, fields: Mapping[str, str], name: str, where: Where) -> Given[datetime] | None:
        if name not in fields:
            return None
        try:
            return Given(self.clock.read(fields[name]), where, fields[name])
        except TimeError as error:
            self.faults.time(where.line, error.found.replace("'time'", repr(name)), error.allowed)
            return None
