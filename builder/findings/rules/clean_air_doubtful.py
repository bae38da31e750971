"""A zero whose clean air is none, or one that is still set where the alarm of some area already sounds.

Air is none with oxygen at another value than that of air, carbon dioxide at zero, a gas above it.

Source: clean dry air has 20.9 %vol of oxygen (20.95 in the standard atmosphere, ISO 2533) and 430 ppm of carbon dioxide
(Mauna Loa record, May 2025, seen through accounts of it), outdoors up to about 600; common practice for the bounds.
"""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude, same_dimension
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.wording import COMMON_PRACTICE, keys, short_list
from builder.program.checks import Check
from builder.program.clean_air import CleanAir
from builder.program.keys.families import CLEAN_AIR_REFUSED, CLEAN_AIR_SHOWS, SETPOINT
from builder.program.program import Program
from builder.program.sensors import OXYGEN

ID = "clean-air-doubtful"
SEVERITIES = (Severity.STOP, Severity.WARN)
OXYGEN_SHOWS = Fraction("20.8"), Fraction(21)
CARBON_DIOXIDE_SHOWS = Fraction(400), Fraction(600)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each channel, and a ``stop`` for each whose alarm is zeroed away."""
    program = computed.program
    for check in program.checks.values():
        for channel, air in check.clean_air.items():
            yield from _alarm_zeroed_away(computed, check, channel, air)
            low, high, unit = _bounds(program, channel)
            if unit and not low <= magnitude(air.shows.value, unit) <= high:
                between = f"{float(low):g} to {float(high):g} {unit}" if high else f"0 {unit}"
                yield Finding(
                    rule=ID,
                    severity=Severity.WARN,
                    message=f"{check.name}: {channel.replace('-', ' ')} is to show {air.shows.text} in clean air, "
                    f"which holds {between}. After such a zero every reading is off by the difference.",
                    where=air.shows.where,
                    figures=keys(computed.ledger.get(CLEAN_AIR_SHOWS(check=check.id, channel=channel))),
                    source=COMMON_PRACTICE,
                    mend="enter what clean air holds",
                    subject="page:checks",
                )


def _alarm_zeroed_away(computed: Computed, check: Check, channel: str, air: CleanAir) -> Iterator[Finding]:
    """Where a reading at which an alarm sounds is still within what may be set to clean air.

    A ``stop`` for the second alarm and for that of too little oxygen, a ``warn`` for the first one of another gas.
    """
    refused = computed.ledger.get(CLEAN_AIR_REFUSED(check=check.id, channel=channel))
    falling = channel == OXYGEN
    for name, called in (("low", "alarm"),) if falling else (("high", "second alarm"), ("low", "first alarm")):
        sounds = [
            (area, alarm)
            for area in computed.program.areas.values()
            if (alarm := computed.ledger.get(SETPOINT(area=area.id, channel=channel, alarm=name)))
            and refused
            and same_dimension(alarm.printed_amount, refused.unit)
            and _beyond(air, alarm, falling=falling)
        ]
        if not sounds or refused is None:
            continue
        names = short_list([f"{area.name} ({alarm.printed})" for area, alarm in sounds])
        yield Finding(
            rule=ID,
            severity=Severity.WARN if called == "first alarm" else Severity.STOP,
            message=f"{check.name}: {channel.replace('-', ' ')} is still set to clean air when it shows "
            f"{refused.printed} beside it, where the {called} already sounds: {names}. The alarm is zeroed away.",
            where=air.refused_beyond.where,
            figures=keys(refused, *(alarm for _, alarm in sounds)),
            source=COMMON_PRACTICE,
            mend="refuse the zero before an alarm sounds",
            subject="page:checks",
            touches=tuple(f"area:{area.id}" for area, _ in sounds),
        )
        return


def _beyond(air: CleanAir, alarm: Figure, *, falling: bool) -> bool:
    shows, beside = air.shows.value, air.refused_beyond.value
    return bool(shows - beside < alarm.printed_amount if falling else shows + beside > alarm.printed_amount)


def _bounds(program: Program, channel: str) -> tuple[Fraction, Fraction, str]:
    if channel == OXYGEN:
        return (*OXYGEN_SHOWS, "%vol")
    gas = program.gases.get(channel)
    if gas is not None and gas.entry.id == "carbon-dioxide":
        return (*CARBON_DIOXIDE_SHOWS, "ppm")
    return Fraction(0), Fraction(0), "%LEL" if channel == "flammable" else "ppm"
