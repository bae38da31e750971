"""In what state, where and with whom each unit was at any moment: its movements, or what the inventory says."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from itertools import pairwise

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.inventory import NOT_KNOWN, Unit
from builder.program.movements import Movement
from builder.program.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A unit in one state, from a moment to another."""

    state: str
    start: datetime | date | None
    """First moment, or first day where only that is told; ``None`` where nobody says since when."""
    end: datetime | None
    """First moment at which it is no longer so, or ``None``."""
    area: str
    """Empty for a unit of a pool."""
    holder: str
    certificate: str
    where: Where
    certificate_until: Given[date] | None = None
    """Last day on which its owner's certificate counts, where the row says so."""

    @property
    def first_day(self) -> date | None:
        """The day of its start, by the clock that was written with; ``None`` where nobody says since when."""
        return self.start.date() if isinstance(self.start, datetime) else self.start

    def holds_at(self, moment: datetime) -> bool:
        """Whether it was so at a moment."""
        if isinstance(self.start, datetime):
            begun = self.start <= moment
        else:
            begun = self.start is None or self.start <= moment.date()
        return begun and (self.end is None or moment < self.end)

    def touches(self, day: date) -> bool:
        """Whether it was so at any time of a day, by the clock each moment was written with."""
        return self.overlaps(day, day)

    def overlaps(self, first: date, last: date) -> bool:
        """Whether it was so at any time of these days."""
        return (self.first_day is None or self.first_day <= last) and (self.end is None or first <= self.end.date())


Stays = tuple[Stay, ...]
AWAY = {"quarantined": "quarantine", "repair": "repair", "lent": "a loan", "retired": "retirement"}
"""States from which a unit comes back to a check with gas, and what each is called."""


def is_moved(stays: Stays) -> bool:
    """Whether movements tell them, hours and all, and not the inventory."""
    return any(isinstance(stay.start, datetime) for stay in stays)


def stays_of(program: Program) -> dict[str, Stays]:
    """Every unit's stays by time. One without movements has one, which the inventory tells."""
    rows = by_unit(program)
    return {
        unit.id: tuple(_moved(unit, rows[unit.id])) if unit.id in rows else (_told(unit),)
        for unit in program.units.values()
    }


def _told(unit: Unit) -> Stay:
    return Stay(
        state=unit.state.value,
        start=unit.since.value if unit.since else None,
        end=None,
        area=unit.area.value if unit.area else "",
        holder=unit.holder.value if unit.holder else "",
        certificate="",
        where=unit.state.where,
    )


def _moved(unit: Unit, rows: Sequence[Movement]) -> Iterator[Stay]:
    """A row holds until it says, or until the next one begins, whichever is first."""
    follow: list[Movement | None] = [*rows[1:], None]
    home = unit.area.value if unit.area else ""
    for row, after in zip(rows, follow, strict=True):
        ends = [end.value for end in (row.end, after.start if after else None) if end]
        yield Stay(
            state=row.state.value,
            start=row.start.value,
            end=min(ends, default=None),
            area=row.area.value if row.area else home,
            holder=row.holder.value if row.holder else "",
            certificate=row.certificate.value if row.certificate else "",
            where=row.where,
            certificate_until=row.certificate_until,
        )


def at(stays: Stays, moment: datetime) -> Stay | None:
    """The stay at a moment, or ``None`` where no row tells of it."""
    return next((stay for stay in reversed(stays) if stay.holds_at(moment)), None)


def on(stays: Stays, day: date) -> Stays:
    """Every stay of a day."""
    return tuple(stay for stay in stays if stay.touches(day))


def of_moment(stays: Stays, moment: datetime) -> Stays:
    """The stay at a moment; all of the day where the hour is not told, which is midnight sharp."""
    if moment.time() == moment.min.time():
        return on(stays, moment.date())
    found = at(stays, moment)
    return (found,) if found else ()


def end_of(stays: Stays, day: date) -> Stay | None:
    """The stay at the end of a day."""
    open_ones = (stay for stay in on(stays, day) if stay.end is None or stay.end.date() > day)
    return max(open_ones, key=stays.index, default=None)


def on_day(program: Program, as_of: date) -> Program:
    """The program with every unit as its movements tell it on a day; those without keep what the inventory says."""
    if not program.movements:
        return program
    moved, stays = by_unit(program), stays_of(program)
    units = {
        name: _as_moved(unit, end_of(stays[name], as_of)) if name in moved else unit
        for name, unit in program.units.items()
    }
    return replace(program, units=units)


def _as_moved(unit: Unit, stay: Stay | None) -> Unit:
    if stay is None:
        return replace(unit, state=Given(NOT_KNOWN, unit.where, NOT_KNOWN), since=None, holder=None)
    start = stay.first_day
    return replace(
        unit,
        state=Given(stay.state, stay.where, stay.state),
        since=Given(start, stay.where, start.isoformat()) if start else None,
        area=Given(stay.area, stay.where, stay.area) if stay.area else unit.area,
        pool=None if stay.area else unit.pool,
        holder=Given(stay.holder, stay.where, stay.holder) if stay.holder else None,
    )


def breaks(rows: Iterable[Movement]) -> Iterator[tuple[Movement, Movement, bool]]:
    """Rows of one unit that do not meet: earlier, later, and whether they overlap (else nothing tells of between)."""
    for earlier, later in pairwise(rows):
        if later.start.value == earlier.start.value or (earlier.end and earlier.end.value > later.start.value):
            yield earlier, later, True
        elif earlier.end and earlier.end.value < later.start.value:
            yield earlier, later, False


def by_unit(program: Program) -> Mapping[str, tuple[Movement, ...]]:
    """Movements by unit as written, known or not, by time."""
    rows = grouped(program.movements, lambda row: row.unit.value)
    return {name: tuple(found) for name, found in rows.items()}
