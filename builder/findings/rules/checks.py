"""Checks that are late or nowhere planned."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.day_margins import today
from builder.figures.due_checks import DueCheck, State
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import count_in_words, keys, short_list
from builder.program.inventory import CHECKED_STATES
from builder.program.keys.families import UNIT_DUE, UNIT_LAST
from builder.program.program import Program

FAULTS = {
    State.NEVER: "has no day on which it was last good",
    State.UNSHOWN: "was not shown good for every sensor since a failure or a change of sensor",
    State.OVERDUE: "was due",
}
DAYS = (UNIT_LAST, UNIT_DUE)
AHEAD = "is dated after the day this handbook is judged on"


@rule(Severity.STOP, Severity.WARN)
def check_overdue(due_checks: tuple[DueCheck, ...], ledger: Ledger) -> Iterator[Finding]:
    """A unit whose calendar check is overdue, was never done, or is dated after the handbook's day.

    The due day itself is still good. Checks before each day of use are not judged by the calendar, and a pump test
    not on models without a pump, nor the change of a part on models without it. Source: the site's own check plan,
    which names the source of each interval.
    """
    # A stop for units in use, a warn for spare ones: once for all that lack the same check in the same way
    groups: dict[tuple[str, bool, str], list[DueCheck]] = {}
    for due in due_checks:
        last = due.unit.last.get(due.check.id)
        ahead = due.state is not State.DAILY and last is not None and last.value > today(ledger)
        fault = AHEAD if ahead else FAULTS.get(due.state)
        if fault:
            groups.setdefault((due.check.id, due.unit.in_use, fault), []).append(due)
    for (_, in_use, fault), group in groups.items():
        check, lines = group[0].check, tuple(_line(late) for late in group)
        figures = [ledger.get(family(unit=late.unit.id, check=check.id)) for late in group for family in DAYS]
        named = short_list([_named(ledger, late, fault) for late in group])
        count = f"{count_in_words(len(group), 'unit')} {'in use' if in_use else 'spare'}"
        yield check_overdue.found(
            severity=Severity.STOP if in_use else Severity.WARN,
            message=f"{check.name} of {count} {fault}: {named}.",
            where=lines[0],
            figures=keys(*figures),
            source=check.source.value,
            mend="do the check and enter its day, or take the unit out of use",
            subject=f"unit:{group[0].unit.id}",
            touches=tuple(f"unit:{late.unit.id}" for late in group),
            lines=lines if len(group) > 1 else (),
        )


def _line(late: DueCheck) -> Where:
    """The day in the inventory, or the unit where there is none."""
    last = late.unit.last.get(late.check.id)
    return last.where if last else late.unit.where


def _named(ledger: Ledger, late: DueCheck, fault: str) -> str:
    """A unit with its day, and how often that check is asked of it."""
    last, asked = late.unit.last.get(late.check.id), late.check.strictest_of(late.unit)
    day = f"by {ledger[late.key].printed}" if late.state is State.OVERDUE else ""
    every = f"every {(asked or late.check).interval.value.text}"
    parts = (last.text if last and fault == AHEAD else day, every)
    return f"{late.unit.id} ({', '.join(part for part in parts if part)})"


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
