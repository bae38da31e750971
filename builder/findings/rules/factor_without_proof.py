"""A table of response factors that nothing is held against: whether it multiplies or divides is taken on trust.

Source: common practice, no published source: one observation, this much gas and so much shown, tells the two apart.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE

ID = "factor-without-proof"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each sensor whose table has other gases than the one shown, and no proof row."""
    for sensor in computed.program.sensors.values():
        factors = sensor.factors
        if factors is not None and not factors.proof and any(gas != sensor.shows.value for gas in factors.table):
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{sensor.name}: no proof row shows that its factors multiply and are not turned round.",
                where=factors.source.where,
                source=COMMON_PRACTICE,
                mend="add under factors: proof: [{gas: ..., there: 50 %LEL, shown: 26 %LEL, source: ...}], from the "
                "document of the factors or from a test of your own",
                subject=f"sensor:{sensor.id}",
            )
