"""A place where a role works by duties of its own, without a pocket card for that role.

Asked of confined spaces (entrant, attendant, tester, rescue) and of hot work (its watch). Cards of the whole site do
not count: they hold no alarm and no limit of the place. Source: 29 CFR 1910.146 (h) to (k) and (c)(5)(ii)(C), 29 CFR
1910.252 (a)(2)(iii)(B) for the duties; that each is on a card is what this handbook is for.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.card_duties import bundles, roles_of

ID = "card-missing"
SEVERITIES = (Severity.WARN,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` a place, with all roles that have no card."""
    program = computed.program
    for area in program.areas.values():
        missing = [(role, source) for role, source in roles_of(area) if not any(bundles(program, area, role))]
        if missing:
            yield Finding(
                rule=ID,
                severity=Severity.WARN,
                message=f"{area.name}: no pocket card for {', '.join(role for role, _ in missing)}.",
                where=area.where,
                source="; ".join(dict.fromkeys(source for _, source in missing)),
                mend=f"a card with area: {area.id} and audience: {missing[0][0]}",
                subject=f"area:{area.id}",
            )
