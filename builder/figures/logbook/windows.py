"""Acceptance windows as plain rationals, so that judging a record makes no quantity."""

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from itertools import product
from typing import TypeAlias

from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.figures.ledger import Lookup, figures_there
from builder.program.checks import Check
from builder.program.gas_plan import reaches
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.sensors import Sensor

Case: TypeAlias = tuple[str, str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Displays that pass one check of one kind of sensor with one cylinder."""

    key: str
    """What its figures begin with."""
    low: Fraction
    high: Fraction
    expected: Fraction
    tolerance: Fraction
    """Permitted deviation before any guard band; of a zero, how far off at most it is zeroed."""
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

    by_case: Mapping[Case, Window]
    """By cylinder, sensor and kind of check; of a zero with an empty cylinder."""
    alarms_within: Mapping[str, Fraction]
    """Seconds, by kind of check."""
    expires: Mapping[str, date]
    certified: Mapping[str, date]
    holds: Mapping[str, frozenset[str]]
    """Gases of each cylinder."""
    adjusted_with: Mapping[str, str]
    """Gas of each sensor."""
    reached: Mapping[str, frozenset[str]]
    """Sensors that answer to each cylinder."""


def windows_of(program: Program, ledger: Lookup) -> Windows:
    """The windows that the ledger has; of two checks of one kind the stricter window."""
    made: dict[Case, Window] = {}
    for cylinder in program.cylinders.values():
        for sensor in program.sensors:
            for served in cylinder.checks:
                window = _window(
                    ledger, keyed.WINDOW_FROM.start(cylinder=cylinder.id, sensor=sensor, check=served.value)
                )
                case = (cylinder.id, sensor, program.checks[served.value].kind)
                _keep_stricter(made, case, window)
    for check, kind in product(program.checks.values(), program.sensors.values()):
        if kind.channel.value in check.clean_air:
            _keep_stricter(made, ("", kind.id, check.kind), _of_clean_air(program, ledger, check, kind))
    return Windows(
        by_case=made,
        alarms_within=_alarm_times(program, ledger),
        expires={cylinder.id: cylinder.last_day for cylinder in program.cylinders.values()},
        certified={c.id: c.certified_on.value for c in program.cylinders.values() if c.certified_on},
        holds={c.id: frozenset(part.gas.value for part in c.components) for c in program.cylinders.values()},
        adjusted_with={sensor.id: sensor.calibrated_with.value for sensor in program.sensors.values()},
        reached={
            cylinder.id: frozenset(sensor.id for sensor in program.sensors.values() if reaches(cylinder, sensor))
            for cylinder in program.cylinders.values()
        },
    )


def _keep_stricter(made: dict[Case, Window], case: Case, window: Window | None) -> None:
    if window and (case not in made or window.high - window.low < made[case].high - made[case].low):
        made[case] = window


def _of_clean_air(program: Program, ledger: Lookup, check: Check, sensor: Sensor) -> Window | None:
    """What a zero leaves, in the one unit in which displays show the sensor."""
    places = (part for model in program.models.values() for part in model.positions)
    units = {part.unit for part in places if part.sensor.value == sensor.id}
    key = keyed.CLEAN_AIR_SHOWS.start(check=check.id, channel=sensor.channel.value)
    families = (keyed.CLEAN_AIR_FROM, keyed.CLEAN_AIR_TO, keyed.CLEAN_AIR_SHOWS, keyed.CLEAN_AIR_REFUSED)
    figures = list(figures_there(ledger, (family.on(key) for family in families)))
    if len(units) != 1 or len(figures) < len(families):
        return None
    (unit,) = units
    low, high, shows, refused = (magnitude(figure.amount, unit) for figure in figures)
    return Window(key=key, low=low, high=high, expected=shows, tolerance=refused, read=True)


def _window(ledger: Lookup, key: str) -> Window | None:
    families = (keyed.WINDOW_FROM, keyed.WINDOW_TO, keyed.WINDOW_EXPECTED, keyed.WINDOW_TOLERANCE)
    found = list(figures_there(ledger, (family.on(key) for family in families)))
    if len(found) < len(families):
        return None
    read = all(figure.read for figure in found)
    low, high, expected, tolerance = (figure.number for figure in found)
    return Window(key=key, low=low, high=high, expected=expected, tolerance=tolerance, read=read)


def _alarm_times(program: Program, ledger: Lookup) -> dict[str, Fraction]:
    made: dict[str, Fraction] = {}
    for check in program.checks.values():
        figure = ledger.get(keyed.CHECK_ALARMS_WITHIN(check=check.id))
        if figure is not None and isinstance(figure.exact, Fraction):
            made[check.kind] = min(figure.exact, made.get(check.kind, figure.exact))
    return made
