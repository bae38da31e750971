"""Values that came with a starter and that nobody at the site has confirmed.

Source: common practice, no source: what protects people is chosen by a competent person who knows the place.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed

ID = "default-not-confirmed"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each entry of ``confirm.yaml`` without name and day."""
    for one in computed.program.confirmations:
        if not one.confirmed:
            yield Finding(
                rule=ID,
                severity=Severity.STOP,
                message=f"Nobody at this site has confirmed {one.what.value}: they came with the starter.",
                where=one.where,
                source="common practice: what protects people is chosen by a competent person of the site",
                mend=f"compare them with {one.against.value}, then enter by and on in confirm.yaml",
                subject="page:findings",
            )
