"""Acceptance windows as plain rationals, so that judging a record makes no quantity."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Protocol

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.program.gas_plan import reaches
from builder.program.keys.families import CHECK_ALARMS_WITHIN, WINDOW_EXPECTED, WINDOW_FROM, WINDOW_TO, WINDOW_TOLERANCE
from builder.program.program import Program


class Lookup(Protocol):
    """A ledger, made or in the making."""

    def get(self, key: str) -> Figure | None:
        """The figure of a key, or ``None``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Displays that pass one check of one kind of sensor with one cylinder."""

    key: str
    """What its figures begin with."""
    low: Fraction
    high: Fraction
    expected: Fraction
    tolerance: Fraction
    """Permitted deviation before any guard band."""
    read: bool
    """False when the window, with its guard band, rests on a value that was not read in its source."""

    def holds(self, reading: Fraction) -> bool:
        """Whether a reading passes; the edges do."""
        return self.low <= reading <= self.high

    def surely_out(self, reading: Fraction) -> bool:
        """Whether a reading fails even by what was read: all of the window, or the plain tolerance."""
        return not self.holds(reading) and (self.read or abs(reading - self.expected) > self.tolerance)


@dataclass(frozen=True, slots=True, kw_only=True)
class Windows:
    """Everything in the plan that a record is judged by."""

    by_case: Mapping[tuple[str, str, str], Window]
    """By cylinder, sensor and kind of check."""
    alarms_within: Mapping[str, Fraction]
    """Seconds, by kind of check."""
    expires: Mapping[str, date]
    holds: Mapping[str, frozenset[str]]
    """Gases of each cylinder."""
    adjusted_with: Mapping[str, str]
    """Gas of each sensor."""
    reached: Mapping[str, frozenset[str]]
    """Sensors that answer to each cylinder."""


def windows_of(program: Program, ledger: Lookup) -> Windows:
    """The windows that the ledger has; of two checks of one kind the stricter window."""
    made: dict[tuple[str, str, str], Window] = {}
    for cylinder in program.cylinders.values():
        for sensor in program.sensors:
            for served in cylinder.checks:
                window = _window(ledger, WINDOW_FROM.start(cylinder=cylinder.id, sensor=sensor, check=served.value))
                case = (cylinder.id, sensor, program.checks[served.value].kind)
                if window and (case not in made or window.high - window.low < made[case].high - made[case].low):
                    made[case] = window
    return Windows(
        by_case=made,
        alarms_within=_alarm_times(program, ledger),
        expires={cylinder.id: cylinder.last_day for cylinder in program.cylinders.values()},
        holds={c.id: frozenset(part.gas.value for part in c.components) for c in program.cylinders.values()},
        adjusted_with={sensor.id: sensor.calibrated_with.value for sensor in program.sensors.values()},
        reached={
            cylinder.id: frozenset(sensor.id for sensor in program.sensors.values() if reaches(cylinder, sensor))
            for cylinder in program.cylinders.values()
        },
    )


def _window(ledger: Lookup, key: str) -> Window | None:
    found = [ledger.get(family.on(key)) for family in (WINDOW_FROM, WINDOW_TO, WINDOW_EXPECTED, WINDOW_TOLERANCE)]
    values = [figure.exact for figure in found if figure is not None and isinstance(figure.exact, Fraction)]
    if len(values) < len(found):
        return None
    read = all(figure.read for figure in found if figure is not None)
    low, high, expected, tolerance = values
    return Window(key=key, low=low, high=high, expected=expected, tolerance=tolerance, read=read)


def _alarm_times(program: Program, ledger: Lookup) -> dict[str, Fraction]:
    made: dict[str, Fraction] = {}
    for check in program.checks.values():
        figure = ledger.get(CHECK_ALARMS_WITHIN(check=check.id))
        if figure is not None and isinstance(figure.exact, Fraction):
            made[check.kind] = min(figure.exact, made.get(check.kind, figure.exact))
    return made
