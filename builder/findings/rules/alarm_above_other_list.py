"""A toxic alarm that protects one limit and lies beyond another of the lists that count in its area.

An alarm names one limit; the site chose several lists, and the law of the place brings its own. The first alarm is held
against every short-term and ceiling limit and the value dangerous to life, an averaged alarm against every limit of its
own averaging time. Source: the lists of exposure limits that count in the area.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.alarms import SETPOINTS, PlacedAlarm, is_first, placed_alarms, places, protects_key, touched
from builder.findings.carried_coverage import ACUTE, kind_of, toxic_limits, weightiest
from builder.findings.wording import keys, severity_allowed
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR

ID = "alarm-above-other-list"
SEVERITIES = (Severity.STOP, Severity.WARN)
AVERAGES = {"twa": ("twa",), "stel": ("stel", "excursion", "ceiling", "idlh")}
"""Limits that an averaged alarm must come before: those of its own averaging time and shorter."""
IMMEDIATE = ("ceiling", "idlh")
"""Kinds that the first alarm decides on; a short-term limit is an average, which an averaged alarm may keep."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` beyond a ceiling or what endangers life, a ``warn`` beyond an average; once for all areas alike."""
    groups: dict[tuple[Where, tuple[str, ...]], list[tuple[PlacedAlarm, list[Figure]]]] = {}
    for placed in placed_alarms(computed.program, computed.ledger):
        passed = _passed(computed, placed)
        if passed:
            case = (placed.alarm.value.where, tuple(limit.key for limit in passed))
            groups.setdefault(case, []).append((placed, passed))
    for group in groups.values():
        yield _finding([placed for placed, _ in group], group[0][1])


def _passed(computed: Computed, placed: PlacedAlarm) -> list[Figure]:
    """Limits that what is there when it sounds lies beyond, but for the one it is said to protect."""
    if placed.channel in (FLAMMABLE, OXYGEN, VAPOUR):
        return []
    kinds = AVERAGES.get(placed.alarm.name, (*ACUTE,) if is_first(placed) else ("idlh",))
    there = magnitude(placed.figure.printed_amount, "ppm")
    protects = computed.ledger.get(protects_key(placed))
    own = placed.alarm.protects.value if placed.alarm.protects else ""
    return [
        limit
        for limit in toxic_limits(computed.program, computed.ledger, placed.area, placed.channel)
        if kind_of(limit) in kinds
        and there > magnitude(limit.amount, "ppm")
        and not (protects is not None and limit.key.endswith(f".limit.{own}"))  # told by alarm-above-limit
    ]


def _finding(group: list[PlacedAlarm], passed: list[Figure]) -> Finding:
    placed, worst = group[0], weightiest(passed)
    averaged = placed.alarm.name in AVERAGES
    weighed = Severity.STOP if not averaged and kind_of(worst) in IMMEDIATE else Severity.WARN
    severity, caveat = severity_allowed(weighed, placed.figure, worst)
    named = "; ".join(f"{limit.label} {limit.printed}" for limit in passed)
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{places(group)}: the {placed.called} is set to {placed.figure.printed}, beyond limits that also "
        f"count there: {named}.{caveat}",
        where=placed.alarm.value.where,
        figures=keys(*(one.figure for one in group), *passed),
        source=worst.source,
        mend="set it to keep the strictest of the lists that count there, or take a list out of limits in site.yaml",
        subject=SETPOINTS,
        touches=touched(group),
    )
