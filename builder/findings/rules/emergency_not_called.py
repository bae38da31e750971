"""A place where whoever works has nobody to call, or nobody who is named for an emergency.

Asked of contacts that an entrant's card of the area prints. Source: 29 CFR 1910.146 (d)(9), how rescue is summoned;
29 CFR 1910.38 (c)(1), how an emergency is reported; that its number is told apart from others is common practice.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.wording import short_list
from builder.program.areas import Area
from builder.program.order_words import is_emergency

ID = "emergency-not-called"
SEVERITIES = (Severity.STOP, Severity.WARN)
ENTRANT = "entrant"


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for areas without any contact, a ``warn`` for those with none that is named for emergencies."""
    program = computed.program
    language = program.site.languages[0].value
    serving = {
        area.id: [one for one in program.site.contacts if one.serves(area.id, ENTRANT)]
        for area in program.areas.values()
    }
    nobody = [area for area in program.areas.values() if not serving[area.id]]
    if nobody:
        told = "whoever works there has nobody to call: no contact is for the entrant."
        yield _finding(Severity.STOP, nobody, told, nobody[0].where)
    unnamed = [
        area
        for area in program.areas.values()
        if serving[area.id] and not any(is_emergency(one.role.value, language) for one in serving[area.id])
    ]
    if unnamed:
        roles = dict.fromkeys(one.role.value for area in unnamed for one in serving[area.id])
        told = f"no contact is named for an emergency; they are for: {', '.join(roles)}."
        yield _finding(Severity.WARN, unnamed, told, serving[unnamed[0].id][0].role.where)


def _finding(severity: Severity, areas: list[Area], told: str, where: Where) -> Finding:
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{short_list([area.name for area in areas])}: {told}",
        where=where,
        figures=(),
        source="29 CFR 1910.146 (d)(9) and 29 CFR 1910.38 (c)(1)",
        mend="a contact with role: emergency and without roles:, for these areas or for all",
        subject=f"area:{areas[0].id}",
    )
