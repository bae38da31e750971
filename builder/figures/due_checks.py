"""Where every check of every unit stands on the handbook's day: the one list that pages, calendars and tables share."""

from datetime import date
from enum import Enum

from builder.base.record import dataclass
from builder.figures.day_margins import day_of, past
from builder.figures.formulas import clock
from builder.figures.ledger import Ledger
from builder.program.checks import Check
from builder.program.inventory import Unit
from builder.program.keys.families import UNIT_DUE, UNIT_LAST
from builder.program.program import Program


class State(Enum):
    """How a check stands; the values are the words a reader sees, the gravest first."""

    NEVER = "never done"
    UNSHOWN = "not shown good"
    OVERDUE = "overdue"
    SOON = "due soon"
    IN_DATE = "in date"
    DAILY = "before each day's use"


LATE = (State.OVERDUE, State.NEVER, State.UNSHOWN)
"""What is done before the unit is used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueCheck:
    """One check of one unit."""

    unit: Unit
    check: Check
    state: State
    day: date | None
    """Last day the last good check still holds, or ``None`` where no day is known."""
    key: str
    """Key of that day's figure, or empty."""


def due_checks(program: Program, ledger: Ledger) -> tuple[DueCheck, ...]:
    """Every check asked of every unit that may be used, in the order of the inventory and the plan.

    A pump test is not asked of a model without a pump, nor the change of a part of a model without it, and an interval
    for other areas not of this one.
    """
    return tuple(
        _due(unit, check, ledger)
        for unit in program.units.values()
        if unit.checked
        for check in program.checks.values()
        if is_asked_of(program, unit, check)
    )


def is_asked_of(program: Program, unit: Unit, check: Check) -> bool:
    """Whether a check is asked of a unit where it is kept."""
    if check.strictest_of(unit) is None or not program.has_part(unit, check):
        return False
    return check.kind != "flow-block" or program.models[unit.model.value].pump is not None


def _due(unit: Unit, check: Check, ledger: Ledger) -> DueCheck:
    strictest = check.strictest_of(unit)
    interval = strictest.interval.value if strictest else check.interval.value
    figure = ledger.get(UNIT_DUE(unit=unit.id, check=check.id))
    day = day_of(figure)
    if interval.each_day_of_use:
        return DueCheck(unit=unit, check=check, state=State.DAILY, day=None, key="")
    if day is None:
        once = check.id in unit.last or ledger.get(UNIT_LAST(unit=unit.id, check=check.id))
        return DueCheck(unit=unit, check=check, state=State.UNSHOWN if once else State.NEVER, day=None, key="")
    return DueCheck(
        unit=unit, check=check, state=_state(day, check, ledger.today), day=day, key=figure.key if figure else ""
    )


def _state(day: date, check: Check, now: date) -> State:
    if past(day, now):
        return State.OVERDUE
    soon = check.due_soon
    return State.SOON if soon and day <= clock.next_due(now, soon.value) else State.IN_DATE
