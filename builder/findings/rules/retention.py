"""How long the site keeps what."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.wording import keys
from builder.program.keys.families import RETENTION_KEEP, RETENTION_MINIMUM
from builder.program.program import Program
from builder.program.retention import Retention
from builder.reference.retention import Minimum, minimums

DAYS_A_YEAR = 365


@rule(Severity.STOP, Severity.WARN)
def kept_too_short(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """Records that the site keeps for less time than a rule which it names, or whose kind it takes, asks for.

    Source: the table of published minimums.
    """
    # A stop where a law that was read asks for more, else a warn
    for kept in program.retention:
        for minimum in minimums():
            if kept.keep is None or not minimum.years or not _same(kept, minimum):
                continue
            if kept.keep.value.nominal_days < minimum.years * DAYS_A_YEAR:
                yield kept_too_short.found(
                    severity=Severity.STOP if minimum.force == "law" and minimum.read else Severity.WARN,
                    message=f"{kept.what.value} are kept for {kept.keep.text}; {minimum.citation} asks for "
                    f"{minimum.keep.format(f'{minimum.years} years')}.",
                    where=kept.keep.where,
                    figures=keys(
                        ledger.get(RETENTION_KEEP(entry=kept.id)), ledger.get(RETENTION_MINIMUM(entry=minimum.id))
                    ),
                    source=minimum.citation,
                    mend="keep them for as long as the rule asks, or name the rule that holds instead",
                    subject="page:retention",
                )


def _same(kept: Retention, minimum: Minimum) -> bool:
    """Whether an entry is of the kind of a minimum, by its id or by the rule it names."""
    return kept.id == minimum.id or minimum.citation.partition(",")[0] in kept.rule.value
