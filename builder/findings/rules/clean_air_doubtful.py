"""A zero whose clean air is none: oxygen at another value than that of air, carbon dioxide at zero, a gas above it.

Source: clean dry air has 20.9 %vol of oxygen (20.95 in the standard atmosphere, ISO 2533) and 430 ppm of carbon dioxide
(Mauna Loa record, May 2025, seen through accounts of it), outdoors up to about 600; common practice for the bounds.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import CLEAN_AIR_SHOWS
from builder.program.program import Program
from builder.program.sensors import OXYGEN

ID = "clean-air-doubtful"
SEVERITIES = (Severity.WARN,)
OXYGEN_SHOWS = Fraction("20.8"), Fraction(21)
CARBON_DIOXIDE_SHOWS = Fraction(400), Fraction(600)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each channel."""
    program = computed.program
    for check in program.checks.values():
        for channel, air in check.clean_air.items():
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


def _bounds(program: Program, channel: str) -> tuple[Fraction, Fraction, str]:
    if channel == OXYGEN:
        return (*OXYGEN_SHOWS, "%vol")
    gas = program.gases.get(channel)
    if gas is not None and gas.entry.id == "carbon-dioxide":
        return (*CARBON_DIOXIDE_SHOWS, "ppm")
    return Fraction(0), Fraction(0), "%LEL" if channel == "flammable" else "ppm"
