"""A pocket card that does not carry what its role must know.

All cards of a role for one place and model are taken together, since one person carries them. An entrant's must also
say what the display does not see, wherever a set that is carried into the place does not see a hazard of it, or sees a
toxic one as a share of its explosive limit alone. Source: 29 CFR 1910.146 (h) to (k) and (c)(5)(ii)(C), 29 CFR 1910.252
(a)(2)(iii)(B); the table of roles and blocks stands in ``builder.findings.card_duties``.
"""

from collections.abc import Iterator
from dataclasses import replace

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.card_duties import ROLES, Need, bundles, carries, roles_of
from builder.findings.carried_coverage import SeenHazard, seen_hazards, toxic_limits
from builder.program.areas import OXYGEN_GAS
from builder.program.cards import CardSpec

ID = "card-lacks-block"
SEVERITIES = (Severity.STOP, Severity.WARN)
UNSEEN = Need(block="not-seen", why="what the display does not see", source="29 CFR 1910.146 (h)(1)")


def rule(computed: Computed) -> Iterator[Finding]:
    """One a place, role and model: a ``stop`` where an entrant has no orders at alarms or no number to call."""
    program = computed.program
    blind = {seen.area.id for seen in seen_hazards(program) if _hidden(computed, seen)}
    for area in program.areas.values():
        for role, _ in roles_of(area):
            needs = (*ROLES[role], *((UNSEEN,) if role == "entrant" and area.id in blind else ()))
            for cards in bundles(program, area, role):
                lacking = tuple(need for need in needs if not carries(cards, need))
                if lacking:
                    yield _finding(cards, lacking)


def _hidden(computed: Computed, seen: SeenHazard) -> bool:
    """Whether a set does not see a hazard, or shows a toxic one as a share of its explosive limit alone."""
    if seen.gas == OXYGEN_GAS:
        return not seen.fitted
    return not seen.fitted or (
        seen.only_by_lel and bool(toxic_limits(computed.program, computed.ledger, seen.area, seen.gas))
    )


def _finding(cards: tuple[CardSpec, ...], lacking: tuple[Need, ...]) -> Finding:
    card = cards[0]
    vital = any(need.vital and not carries(cards, replace(need, in_front=False)) for need in lacking)
    told = "; ".join(f"{need.block}{' on its front' if need.in_front else ''} ({need.why})" for need in lacking)
    return Finding(
        rule=ID,
        severity=Severity.STOP if vital else Severity.WARN,
        message=f"{' and '.join(one.title for one in cards)}, for the {card.audience}: lacks {told}.",
        where=card.where,
        source="; ".join(dict.fromkeys(need.source for need in lacking)),
        mend=f"add the block{'s' if len(lacking) > 1 else ''} {', '.join(need.block for need in lacking)}",
        subject=f"card:{card.id}",
    )
