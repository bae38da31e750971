"""A unit in use that no gas proves: no cylinder that serves a bump test, or one that holds nothing a sensor sees.

Source: common practice; a bump test sends gas to every sensor.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.bumps import bump_cylinders, bump_tests, bumps, shown_by
from builder.findings.record_findings import by_cause
from builder.findings.wording import COMMON_PRACTICE, short_list
from builder.program.program import Program

ID = "bump-gas-missing"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for all units without gas, and one for each sensor that a cylinder leaves out."""
    program, ledger = computed.program, computed.ledger
    if bump_tests(program):
        yield from by_cause(_units(program), "unit")
    for bump in bumps(program):
        if not shown_by(ledger, bump):
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"Cylinder {bump.cylinder.id} holds nothing that makes {bump.sensor.name} in {bump.model.name} "
                f"show a known value; bumped with it: {short_list([unit.id for unit in bump.units])}.",
                where=bump.cylinder.where,
                source=COMMON_PRACTICE,
                mend="use gas that has a component for every sensor",
                subject=f"cylinder:{bump.cylinder.id}",
            )


def _units(program: Program) -> Iterator[tuple[str, Finding]]:
    for unit in program.units.values():
        if unit.in_use and not bump_cylinders(program, unit):
            named = short_list([given.value for given in unit.cylinders])
            lacks = f"its cylinder {named} serves no bump test" if named else "it names no cylinder"
            yield (
                named,
                Finding(
                    rule=ID,
                    severity=Severity.WARN,
                    message=f"Unit {unit.id} is in use and bump tests are planned, but {lacks}.",
                    where=unit.cylinders[0].where if unit.cylinders else unit.where,
                    source=COMMON_PRACTICE,
                    mend="name the cylinder it is bumped with",
                    subject=f"unit:{unit.id}",
                ),
            )
