"""Checks that are late or nowhere planned."""

from collections.abc import Iterator
from enum import Enum

from builder.base.finding import Finding, Severity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.figures.day_margins import day_of, past, today
from builder.figures.due_checks import is_asked_of
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import count_in_words, keys, short_list
from builder.program.checks import Check
from builder.program.interval import Interval
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.keys.families import UNIT_DUE, UNIT_LAST
from builder.program.program import Program


@rule(Severity.STOP, Severity.WARN)
def check_overdue(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A unit whose calendar check is overdue, was never done, or is dated after the handbook's day.

    The due day itself is still good. Checks before each day of use are not judged by the calendar, and a pump test
    not on models without a pump, nor the change of a part on models without it. Source: the site's own check plan,
    which names the source of each interval.
    """
    # A stop for units in use, a warn for spare ones: once for all that lack the same check in the same way
    groups: dict[tuple[str, bool, _Fault], list[_Late]] = {}
    for unit in program.units.values():
        for check in program.checks.values():
            fault = _fault(unit, check, ledger) if _judged(program, unit, check) else None
            if fault is not None:
                in_use = unit.in_use
                groups.setdefault((check.id, in_use, fault), []).append(_Late(unit=unit, check=check))
    for (_, in_use, fault), group in groups.items():
        check, state = group[0].check, "in use" if in_use else "spare"
        figures = [
            ledger.get(family(unit=late.unit.id, check=check.id)) for late in group for family in (UNIT_LAST, UNIT_DUE)
        ]
        named = short_list([_named(ledger, late, fault) for late in group])
        count = f"{count_in_words(len(group), 'unit')} {state}"
        yield check_overdue.found(
            severity=Severity.STOP if in_use else Severity.WARN,
            message=f"{check.name} of {count} {fault.value}: {named}.",
            where=group[0].where,
            figures=keys(*figures),
            source=check.source.value,
            mend="do the check and enter its day, or take the unit out of use",
            subject=f"unit:{group[0].unit.id}",
            touches=tuple(f"unit:{late.unit.id}" for late in group),
            lines=tuple(late.where for late in group) if len(group) > 1 else (),
        )


class _Fault(Enum):
    """What is wrong with the day of a check."""

    NEVER = "has no day on which it was last good"
    AHEAD = "is dated after the day this handbook is judged on"
    UNSHOWN = "was not shown good for every sensor since a failure or a change of sensor"
    PAST = "was due"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Late:
    unit: Unit
    check: Check

    @property
    def where(self) -> Where:
        """The day in the inventory, or the unit where there is none."""
        last = self.unit.last.get(self.check.id)
        return last.where if last else self.unit.where


def _named(ledger: Ledger, late: _Late, fault: _Fault) -> str:
    """A unit with its day, and how often that check is asked of it."""
    every = f"every {_interval(late.unit, late.check).value.text}"
    due, last = ledger.get(UNIT_DUE(unit=late.unit.id, check=late.check.id)), late.unit.last.get(late.check.id)
    day = {_Fault.PAST: f"by {due.printed}" if due else "", _Fault.AHEAD: last.text if last else ""}.get(fault, "")
    return f"{late.unit.id} ({', '.join(part for part in (day, every) if part)})"


def _judged(program: Program, unit: Unit, check: Check) -> bool:
    if unit.state.value not in CHECKED_STATES or not is_asked_of(program, unit, check):
        return False
    return not _interval(unit, check).value.each_day_of_use


def _interval(unit: Unit, check: Check) -> Given[Interval]:
    strictest = check.strictest_of(unit)
    return strictest.interval if strictest else check.interval


def _fault(unit: Unit, check: Check, ledger: Ledger) -> _Fault | None:
    last, due = unit.last.get(check.id), ledger.get(UNIT_DUE(unit=unit.id, check=check.id))
    if last is None and day_of(ledger.get(UNIT_LAST(unit=unit.id, check=check.id))) is None:
        return _Fault.NEVER
    if last is not None and last.value > today(ledger):
        return _Fault.AHEAD
    day = day_of(due)
    if day is None:
        return _Fault.UNSHOWN
    return _Fault.PAST if past(day, today(ledger)) else None


@rule(Severity.NOTE)
def part_without_check(program: Program) -> Iterator[Finding]:
    """A part that wears, as a model of units in use states, which no check of the plan looks after.

    Source: the model's own statement of how long the part lasts.
    """
    # A note for each part, once for all models
    looked_after = {check.part.value for check in program.checks.values() if check.part}
    used = {unit.model.value for unit in program.units.values() if unit.state.value in CHECKED_STATES}
    wearing = [model for model in program.models.values() if model.id in used]
    for part in dict.fromkeys(part for model in wearing for part in model.parts if part not in looked_after):
        models = [model for model in wearing if part in model.parts]
        stated = models[0].parts[part]
        yield part_without_check.found(
            message=f"No check of the plan asks for the {part.replace('-', ' ')}, which lasts {stated.text} in "
            f"{short_list([model.name for model in models])}, so nothing tells when it is due.",
            where=stated.where,
            source=models[0].manual.value,
            mend=f"add a check of kind replacement, or inspection, with part: {part}",
            subject="page:checks",
            touches=tuple(f"model:{model.id}" for model in models),
        )
