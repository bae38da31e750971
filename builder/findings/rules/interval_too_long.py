"""A check with gas, a zero or a flow-block test that comes less often than is usual anywhere.

A zero, a flow-block and a bump test at least every month, a calibration at least every year. Source: common practice,
no published source. The usual rhythm is far shorter: before each day's use (of a bump test: OSHA bulletin of 26 Nov
2024), a calibration as the manual says.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.checks import AskedInterval, Check
from builder.program.keys.families import CHECK_INTERVAL

ID = "interval-too-long"
SEVERITIES = (Severity.STOP,)
ACCEPTABLE: Final = True
MOST = {"zero": Fraction(31), "flow-block": Fraction(31), "bump-test": Fraction(31), "calibration": Fraction(366)}
"""Days."""
UNSEEN = {"zero": "its zero still stands", "flow-block": "its air still comes through the hose alone"}


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each check that is never asked for more often, once a place where units are."""
    program = computed.program
    for check in program.checks.values():
        most = MOST.get(check.kind)
        places = dict.fromkeys((unit.place, unit.model.value) for unit in program.units.values())
        asked = [check.strictest_in(place, model) for place, model in places] or [check.strictest]
        late = [one for one in asked if one is not None and most is not None and one.interval.value.nominal_days > most]
        if late:
            yield _finding(computed, check, max(late, key=lambda one: one.interval.value.nominal_days))


def _finding(computed: Computed, check: Check, asked: AskedInterval) -> Finding:
    usual = "a year" if check.kind == "calibration" else "a month"
    unseen = UNSEEN.get(check.kind, "a unit still sees gas")
    return Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"{check.name} is asked for only every {asked.interval.text}, longer than {usual}. Between two of them "
        f"nothing shows that {unseen}.",
        where=asked.interval.where,
        figures=keys(computed.ledger.get(CHECK_INTERVAL(check=check.id))),
        source=COMMON_PRACTICE,
        mend=f"ask for it at least once in {usual}, and as often as the manual says",
        subject="page:checks",
    )
