"""Something that the site's company or region has in its content and the site does without, and why.

What is left out is told, so that nobody reads the company's content and takes it for what holds here. Source: common
practice, no published source.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE

ID = "taken-out"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for each entry and file that is taken out, and for each that stands whole in place of another."""
    for one in computed.program.overrides:
        if one.said or one.before:
            continue
        what = " ".join((one.file, *one.path))
        told = f"it is taken out: {one.removed.rstrip('.')}" if one.removed else "another stands whole in its place"
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"{what} of {one.inherited} does not hold here; {told}.",
            where=one.own,
            source=COMMON_PRACTICE,
            subject="page:findings",
        )
