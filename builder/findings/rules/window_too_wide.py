"""A window that passes readings far from what the gas must show.

A bump test that asks for a reading within half of what the gas holds, and a calibration within a fifth, are already
wide. Source: common practice, no published source; 30 CFR 250.490 (j)(6)(ii) asks for 10 % or 2 ppm.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.wording import COMMON_PRACTICE, keys, short_list
from builder.program.checks import Check
from builder.program.keys.families import WINDOW_EXPECTED, WINDOW_FROM, WINDOW_TO, WINDOW_TOLERANCE

ID = "window-too-wide"
SEVERITIES = (Severity.STOP,)
ACCEPTABLE: Final = True
MOST = {"bump-test": Fraction(1, 2), "calibration-check": Fraction(1, 5), "calibration": Fraction(1, 5)}
"""Share of the expected display, by kind of check."""
OXYGEN_MOST = Fraction(3, 2)
"""%vol, whatever the gas holds: a sensor that is further off stays silent in air well below the alarm."""

PPM_ALWAYS = Fraction(2)
"""ppm that may always be allowed: 30 CFR 250.490 (j)(6)(ii), 2 ppm or 10 %, whichever is greater."""


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each check and sensor, once for all its cylinders."""
    program, ledger = computed.program, computed.ledger
    for check in program.checks.values():
        for sensor in program.sensors.values():
            wide: list[tuple[str, Figure, Figure]] = []
            for cylinder in program.cylinders:
                part = {"cylinder": cylinder, "sensor": sensor.id, "check": check.id}
                expected, tolerance = ledger.get(WINDOW_EXPECTED(**part)), ledger.get(WINDOW_TOLERANCE(**part))
                if expected is not None and tolerance is not None and _wide(check, expected, tolerance):
                    wide.append((cylinder, expected, tolerance))
            if wide:
                yield _finding(computed, check, sensor.id, wide)


def _wide(check: Check, expected: Figure, tolerance: Figure) -> bool:
    most = MOST.get(check.kind)
    if most is None:
        return False
    oxygen = expected.unit == "%vol" and tolerance.unit == "%vol"
    usual = OXYGEN_MOST if oxygen else most * expected.number
    return tolerance.number > max(usual, PPM_ALWAYS if tolerance.unit == "ppm" else 0)


def _finding(computed: Computed, check: Check, sensor: str, wide: list[tuple[str, Figure, Figure]]) -> Finding:
    cylinder, expected, tolerance = wide[0]
    part = {"cylinder": cylinder, "sensor": sensor, "check": check.id}
    ends = [figure for figure in map(computed.ledger.get, (WINDOW_FROM(**part), WINDOW_TO(**part))) if figure]
    between = " to ".join(figure.printed for figure in ends)
    channel = computed.program.sensors[sensor].channel.value
    return Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"{check.name} of {computed.program.sensors[sensor].name} passes anything from {between}, where the "
        f"gas must show {expected.printed} (bottle {short_list([one for one, _, _ in wide])}). A sensor that has lost "
        "much of its signal passes.",
        where=check.window[channel].where if channel in check.window else check.where,
        figures=keys(expected, tolerance, *ends),
        source=COMMON_PRACTICE,
        mend="narrow the tolerance to what the manual allows",
        subject="page:checks",
    )
