"""Air that is tested again less often than every hour while people are inside or a flame burns.

Source: open flame in a utility space: just before and at least hourly, 29 CFR 1910.269 (e)(14); for entry the rule
names no number, 29 CFR 1910.146 (d)(5)(ii), and an hour is common practice, no published source.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import ENTRY_RETEST, HOT_WORK_RETEST

ID = "retest-seldom"
SEVERITIES = (Severity.WARN,)
ACCEPTABLE: Final = True
MOST = Fraction(60)
"""Minutes."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for entry and for hot work."""
    site = computed.program.site
    for what, values, key in (
        ("While people are inside", site.entry, ENTRY_RETEST()),
        ("At hot work", site.hot_work, HOT_WORK_RETEST()),
    ):
        if values is None or magnitude(values.retest_every.value, "min") <= MOST:
            continue
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"{what} the air is tested again only every {values.retest_every.text}, longer than an hour.",
            where=values.retest_every.where,
            figures=keys(computed.ledger.get(key)),
            source="29 CFR 1910.269 (e)(14), open flame: at least hourly; else common practice",
            mend="test again at least every hour, and after each break, or leave a running detector at the work",
            subject="page:program",
        )
