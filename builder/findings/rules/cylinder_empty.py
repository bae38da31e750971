"""A cylinder that holds no gas for another check, though units in use are to be checked with it.

Source: arithmetic on the pressure read and the pressure at which it is used no more.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import keys, short_list
from builder.program.keys.families import CYLINDER_PRESSURE, CYLINDER_STOP_AT, CYLINDER_TESTS_LEFT

ID = "cylinder-empty"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each that a unit in use names."""
    program, ledger = computed.program, computed.ledger
    for cylinder in program.bottles:
        left = ledger.get(CYLINDER_TESTS_LEFT(cylinder=cylinder.id))
        used = [unit.id for unit in program.units.values() if unit.in_use and unit.checked_with(cylinder.id)]
        if left is not None and left.number < 1 and used:
            pressure = ledger.get(CYLINDER_PRESSURE(cylinder=cylinder.id))
            yield Finding(
                rule=ID,
                severity=Severity.STOP,
                message=f"Cylinder {cylinder.id} holds no gas for another check"
                + (f" at {pressure.printed}" if pressure else "")
                + f", but is named by units in use: {short_list(used)}.",
                where=cylinder.pressure.where,
                figures=keys(left, pressure, ledger.get(CYLINDER_STOP_AT(cylinder=cylinder.id))),
                source="arithmetic on the pressure read",
                mend="name a cylinder that holds gas, or enter its pressure as it is",
                subject=f"cylinder:{cylinder.id}",
                touches=tuple(f"unit:{unit}" for unit in used),
            )
