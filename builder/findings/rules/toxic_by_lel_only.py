"""A toxic hazard that a set shows only as a share of the explosive limit, with a first alarm that comes too late.

A few percent of an explosive limit are hundreds of parts per million. The first alarm is taken back through the
response factor and compared with every limit of the lists the site chose. Source: those lists; that an explosive-limit
reading is no toxic measurement is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.rounding import printed_text
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.roundings import hazard_digits
from builder.findings.carried_coverage import (
    ACUTE,
    SeenHazard,
    carried_words,
    kind_of,
    seen_hazards,
    toxic_limits,
    weightiest,
)
from builder.findings.wording import keys, severity_allowed
from builder.program.keys.families import SETPOINT_VOLUME
from builder.program.program import Program

ID = "toxic-by-lel-only"
SEVERITIES = (Severity.STOP, Severity.WARN)
FIRST = ("low", "high")
"""The first alarm is the first of these that is set."""


def rule(computed: Computed) -> Iterator[Finding]:
    """One an area and gas: a ``stop`` beyond a limit of minutes or what endangers life, else a ``warn``."""
    program, ledger = computed.program, computed.ledger
    groups: dict[tuple[str, str], list[SeenHazard]] = {}
    for seen in seen_hazards(program):
        if seen.only_by_lel:
            groups.setdefault((seen.area.id, seen.gas), []).append(seen)
    for group in groups.values():
        first = first_alarm(ledger, group[0])
        limits = toxic_limits(program, ledger, group[0].area, group[0].gas)
        if first is not None and limits:
            yield from _judge(program, group, first, limits)


def first_alarm(ledger: Ledger, seen: SeenHazard) -> Figure | None:
    """What is really there by volume at the first flammable alarm, or ``None`` where no alarm is set."""
    named = (ledger.get(SETPOINT_VOLUME(area=seen.area.id, gas=seen.gas, alarm=name)) for name in FIRST)
    return next((figure for figure in named if figure is not None), None)


def _judge(program: Program, group: list[SeenHazard], first: Figure, limits: tuple[Figure, ...]) -> Iterator[Finding]:
    seen = group[0]
    there = magnitude(first.amount, "ppm")
    passed = [limit for limit in limits if there > magnitude(limit.amount, "ppm")]
    if not passed:
        return
    worst = weightiest(passed)
    weighed = Severity.STOP if kind_of(worst) in ACUTE else Severity.WARN
    severity, caveat = severity_allowed(weighed, first, worst)
    gas = program.gases[seen.gas].name
    carried = " or with ".join(carried_words(program, one.carried) for one in group)
    named = "; ".join(f"{limit.label} {limit.printed}" for limit in passed)
    yield Finding(
        rule=ID,
        severity=severity,
        message=f"{seen.area.name}: with {carried} {gas} shows only as a share of its explosive "
        f"limit. At the first alarm about {printed_text(there, hazard_digits(2))} ppm are there ({first.printed}), "
        f"beyond: {named}.{caveat}",
        where=seen.hazard.gas.where,
        figures=keys(first, *passed),
        source=worst.source,
        mend=f"carry a detector that shows {gas} in ppm as well",
        subject=f"area:{seen.area.id}",
    )
