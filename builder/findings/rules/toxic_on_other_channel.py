"""A toxic hazard that shows on the channel of another gas, with a first alarm that comes after its own limits.

The number on the display is that of the other gas. It is taken through the response factor and compared with the
limits of the hazard itself; where its lists have none, nothing shows that the alarm protects anybody. Source: the
lists of exposure limits that the site chose.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.base.rounding import printed_text
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.roundings import hazard_digits
from builder.findings.carried_coverage import ACUTE, SeenHazard, kind_of, seen_hazards, toxic_limits, weightiest
from builder.findings.sensor_coverage import asphyxiant
from builder.findings.wording import keys, severity_allowed
from builder.program.areas import OXYGEN_GAS
from builder.program.keys.families import FACTOR, SETPOINT
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, Sensor

ID = "toxic-on-other-channel"
SEVERITIES = (Severity.STOP, Severity.WARN)
FIRST = ("low", "high")
"""The first alarm is the first of these that is set."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` beyond a short-term limit or the value dangerous to life, else a ``warn``; one an area and gas."""
    program, ledger = computed.program, computed.ledger
    told: dict[tuple[str, str], None] = {}
    for seen in seen_hazards(program):
        case = (seen.area.id, seen.gas)
        if case in told or seen.gas == OXYGEN_GAS or asphyxiant(program, seen.gas) or seen.gas in seen.channels:
            continue
        read = [sensor for _, _, sensor in seen.fitted if sensor.channel.value not in (FLAMMABLE, OXYGEN)]
        if read:
            found = _judge(program, ledger, seen, read)
            if found is not None:
                told[case] = None
                yield found


def _judge(program: Program, ledger: Ledger, seen: SeenHazard, read: list[Sensor]) -> Finding | None:
    channel = read[0].channel.value
    named = (ledger.get(SETPOINT(area=seen.area.id, channel=channel, alarm=name)) for name in FIRST)
    first = next((figure for figure in named if figure is not None), None)
    factors = [ledger.get(FACTOR(sensor=sensor.id, gas=seen.gas)) for sensor in read]
    known = [figure for figure in factors if figure is not None]
    if first is None or not known:  # told by hazard-without-alarm, and by the reader of factors
        return None
    factor = max(known, key=lambda figure: figure.amount)
    there = magnitude(first.printed_amount, "ppm") * Fraction(magnitude(factor.amount, ""))
    limits = toxic_limits(program, ledger, seen.area, seen.gas)
    passed = [limit for limit in limits if there > magnitude(limit.amount, "ppm")]
    if limits and not passed:
        return None
    return _finding(program, seen, there, first, factor, passed)


def _finding(
    program: Program, seen: SeenHazard, there: Fraction, first: Figure, factor: Figure, passed: list[Figure]
) -> Finding:
    gas = program.gases[seen.gas].name
    worst = weightiest(passed) if passed else None
    weighed = Severity.STOP if worst is not None and kind_of(worst) in ACUTE else Severity.WARN
    severity, caveat = severity_allowed(weighed, first, factor, worst)
    beyond = "; ".join(f"{limit.label} {limit.printed}" for limit in passed)
    told = f"beyond: {beyond}" if passed else "and the lists of this site have no limit to compare it with"
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{seen.area.name}: {gas} shows only on a channel meant for another gas. When its first alarm sounds "
        f"at {first.printed}, about {printed_text(there, hazard_digits(2))} ppm of {gas} are there, {told}.{caveat}",
        where=seen.hazard.gas.where,
        figures=keys(first, factor, *passed),
        source=worst.source if worst is not None else "the lists of exposure limits that the site chose",
        mend=f"set the first alarm low enough for {gas} too, or carry a detector with a sensor of its own for it",
        subject=f"area:{seen.area.id}",
    )
