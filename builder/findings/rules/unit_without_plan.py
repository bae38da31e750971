"""A unit in use that no check with gas is planned for: nothing would ever show that it still sees gas.

Source: the makers' manuals and 29 CFR 1910.146 (d)(5) with OSHA's bulletin of 26 Nov 2024 ask for tests with gas;
how often is for the manual and the site.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import short_list
from builder.program.checks import WITH_GAS
from builder.program.inventory import Unit
from builder.program.program import Program

ID = "unit-without-plan"
SEVERITIES = (Severity.STOP, Severity.WARN)
NEEDED = ("calibration", "bump-test")


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` where no check with gas is asked of units in use, a ``warn`` where only one of the two kinds is."""
    program = computed.program
    groups: dict[tuple[str, ...], list[Unit]] = {}
    for unit in program.units.values():
        lacking = _lacking(program, unit) if unit.in_use else ()
        if lacking:
            groups.setdefault(lacking, []).append(unit)
    for lacking, units in groups.items():
        none = len(lacking) > len(NEEDED) - 1 and not any(_planned(program, units[0], kind) for kind in WITH_GAS)
        kinds = " and no ".join(kind.replace("-", " ") for kind in lacking)
        yield Finding(
            rule=ID,
            severity=Severity.STOP if none else Severity.WARN,
            message=f"No {kinds} is planned for units in use: {short_list([unit.id for unit in units])}."
            + (" Nothing would show that they still see gas." if none else ""),
            where=units[0].where,
            source="the instrument's manual; OSHA bulletin on verifying calibration of 26 Nov 2024",
            mend="ask for it in checks.yaml, in the intervals that the manual and the site want",
            subject=f"unit:{units[0].id}",
            touches=tuple(f"unit:{unit.id}" for unit in units),
        )


def _lacking(program: Program, unit: Unit) -> tuple[str, ...]:
    return tuple(kind for kind in NEEDED if not _planned(program, unit, kind))


def _planned(program: Program, unit: Unit, kind: str) -> bool:
    """Whether a check of a kind is asked of this unit where it is."""
    return any(check.kind == kind and check.asked_in(unit.place, unit.model.value) for check in program.checks.values())
