"""People and what they are trained for."""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.day_margins import near, past, today
from builder.figures.figure import day_text
from builder.findings.rule import rule
from builder.findings.wording import keys
from builder.program.keys.families import AS_OF


@rule(Severity.NOTE)
def training_expires(computed: Computed) -> Iterator[Finding]:
    """A person whose authorisation ends within thirty days, or has ended.

    Source: the site's own register.
    """
    # A note for each
    program, ledger = computed.program, computed.ledger
    now = today(ledger)
    for person in (program.people or {}).values():
        last = person.until.value
        if near(last, now) or past(last, now):
            who = f"{person.name} ({person.id})" if program.site.names_public else person.id
            verb = "ended" if past(last, now) else "ends"
            yield training_expires.found(
                message=f"{who}, {person.role.value}: the authorisation {verb} on {day_text(last)}.",
                where=person.until.where,
                figures=keys(ledger.get(AS_OF())),
                source="the site's own register",
                mend="train and assess again before that day, or take the person off the register",
                subject="page:checks",
            )
