"""A cylinder that is empty within thirty days at present use, or whose successor should have been ordered by now.

Source: arithmetic on pressure, volume and recorded checks; see the figures.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import day_of, near, past, today
from builder.findings.wording import keys
from builder.program.keys.families import (
    CYLINDER_REORDER_BY,
    CYLINDER_RUNS_OUT,
    CYLINDER_TESTS_A_DAY,
    CYLINDER_TESTS_LEFT,
)

ID = "cylinder-runs-out-soon"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each; expiry has a rule of its own."""
    program, ledger = computed.program, computed.ledger
    now = today(ledger)
    for cylinder in program.bottles:
        runs_out, order = (
            ledger.get(CYLINDER_RUNS_OUT(cylinder=cylinder.id)),
            ledger.get(CYLINDER_REORDER_BY(cylinder=cylinder.id)),
        )
        last, late = day_of(runs_out), day_of(order)
        if runs_out is None or last is None or last >= cylinder.expires.value:
            continue
        if near(last, now) or past(last, now) or (late is not None and past(late, now)):
            ordered = f"; its successor was to be ordered by {order.printed}" if order and late and late < now else ""
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"Cylinder {cylinder.id} covers the checks made with it until {runs_out.printed}{ordered}.",
                where=cylinder.pressure.where,
                figures=keys(
                    runs_out,
                    ledger.get(CYLINDER_TESTS_LEFT(cylinder=cylinder.id)),
                    ledger.get(CYLINDER_TESTS_A_DAY(cylinder=cylinder.id)),
                    order,
                ),
                source="arithmetic on pressure, volume and recorded checks",
                mend="order its successor",
                subject=f"cylinder:{cylinder.id}",
            )
