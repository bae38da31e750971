"""Where each unit was and in what state: issue, return, loan, hire, quarantine, repair, as dated rows."""

from collections.abc import Iterable
from datetime import date, datetime
from functools import partial

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.tables import SourceTable
from builder.program.column_maps import ColumnMap
from builder.program.declared import asked, here, record
from builder.program.faults import Faults
from builder.program.inventory import STATES
from builder.program.table_kinds import MOVEMENTS
from builder.program.table_row import TableRow, rows_read


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One row: a unit is in one state, with one holder, in one area, from one moment to another."""

    unit: Given[str] = asked(TableRow.text)
    """Id as written; it may name a unit that does not exist, which is a finding, not a fault."""
    start: Given[datetime]
    end: Given[datetime] | None
    """First moment at which it is no longer so; ``None`` while nothing later is said."""
    state: Given[str] = asked(TableRow.text)
    """One of ``STATES``."""
    holder: Given[str] | None = asked(TableRow.maybe_text)
    area: Given[str] | None = asked(TableRow.maybe_text)
    """Where it is used or kept; its place in the inventory where the row does not say."""
    certificate: Given[str] | None = asked(TableRow.maybe_text)
    """What shows that a hired unit was calibrated by who owns it."""
    certificate_until: Given[date] | None = None
    """Last day on which that counts."""
    note: str
    where: Where = here()


def read_movements(tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], faults: Faults) -> tuple[Movement, ...]:
    """Every row by time; those of one time in the order of files and rows."""
    known = faults.names("area")
    areas = None if known is None else tuple(sorted(known))
    made = rows_read(tables, maps, MOVEMENTS, faults, partial(_movement, areas=areas))
    made.sort(key=lambda row: row.start.value)
    return tuple(made)


def _movement(row: TableRow, areas: tuple[str, ...] | None) -> Movement | None:
    before = row.faults.count
    row.judge_word("state", STATES)
    row.judge_id("area", areas, "an area of areas.yaml")
    start, end, until = row.time("from"), row.time("to"), row.day("certificate-until")
    if start and end and end.value <= start.value:
        row.faults.add(row.where.line, f"to {end.text}, not after from {start.text}", "an end after its start")
    if until and "certificate" not in row.fields:
        row.faults.lacks(row.where.line, "certificate-until without certificate", "which certificate that is")
    if row.faults.count > before or start is None:
        return None
    return record(Movement, start=start, end=end, certificate_until=until, note=row.fields.get("note", ""))(row)
