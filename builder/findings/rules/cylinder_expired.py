"""A cylinder past its last good day; the expiry day itself is still good. Every cylinder serves a check.

Source: the certificate of the gas.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import past, today
from builder.findings.wording import figure_text, keys, short_list
from builder.program.keys.families import AS_OF, CYLINDER_EXPIRES

ID = "cylinder-expired"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop``: take it out of the content, or replace it."""
    program, ledger = computed.program, computed.ledger
    now = today(ledger)
    for cylinder in program.bottles:
        if not past(cylinder.expires.value, now):
            continue
        units = program.units.values()
        users = [unit.id for unit in units if unit.in_use and unit.checked_with(cylinder.id)]
        key = CYLINDER_EXPIRES(cylinder=cylinder.id)
        yield Finding(
            rule=ID,
            severity=Severity.STOP,
            message=f"Cylinder {cylinder.id} expired on {figure_text(ledger, key, cylinder.expires.text)}"
            + (f"; units in use are checked with it: {short_list(users)}." if users else "."),
            where=cylinder.expires.where,
            figures=keys(ledger.get(key), ledger.get(AS_OF())),
            source=f"certificate: {cylinder.certificate.value}",
            mend="replace it, and judge the checks made with it since then",
            subject=f"cylinder:{cylinder.id}",
        )
