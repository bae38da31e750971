"""A cylinder that has at most thirty days left.

Source: the certificate of the gas.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import near, today
from builder.findings.wording import figure_text, keys
from builder.program.keys.families import AS_OF, CYLINDER_EXPIRES

ID = "cylinder-expires-soon"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note``: there is time to order."""
    program, ledger = computed.program, computed.ledger
    now = today(ledger)
    for cylinder in program.bottles:
        if near(cylinder.expires.value, now):
            key = CYLINDER_EXPIRES(cylinder=cylinder.id)
            yield Finding(
                rule=ID,
                severity=Severity.NOTE,
                message=f"Cylinder {cylinder.id} expires on {figure_text(ledger, key, cylinder.expires.text)}.",
                where=cylinder.expires.where,
                figures=keys(ledger.get(key), ledger.get(AS_OF())),
                source=f"certificate: {cylinder.certificate.value}",
                mend="order its successor",
                subject=f"cylinder:{cylinder.id}",
            )
