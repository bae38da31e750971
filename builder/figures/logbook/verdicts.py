"""One record judged again: by the cylinder it names, on its own day."""

from fractions import Fraction
from functools import cache

from builder.base.record import dataclass
from builder.figures.logbook.windows import Window, Windows
from builder.program.checks import WITH_GAS
from builder.program.records import Cell, Record

NOT_CHECKS = ("use", "sensor-change", "setting-change")
ZERO, BUMP_TEST = "zero", "bump-test"
ADJUSTS = ("calibration",)
"""Kinds in which a reading outside the window may be put right in the same check."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What a record proves; equal ones are one object."""

    good: bool | None
    """Whether the check was passed; ``None`` when the record proves neither."""
    found_out: bool
    """Whether the reading as found lay outside the window, or the check was recorded as failed before adjustment."""
    sure: bool
    """False when it fails only by a guard band that nobody read in its source."""
    outside: str
    """What of a record marked pass lies outside: ``as-found``, ``as-left``, ``seconds`` or empty."""
    expired: bool
    """Whether the cylinder it names was past its last day, or not certified yet."""
    lacks: bool
    """Whether the cylinder it names does not hold the gas that is needed."""
    sensors: tuple[str, ...]
    """Sensors that it is about: the one it names, else those of the unit that its gas is for."""


_made = cache(Verdict)
NOTHING = _made(good=None, found_out=False, sure=True, outside="", expired=False, lacks=False, sensors=())


def window_for(record: Record, windows: Windows) -> Window | None:
    """The window a record is judged by: of the cylinder it names, a zero of clean air, and the sensor's check.

    A kind that the plan does not have proves more than a bump test, so what fails that window fails it too.
    """
    if record.sensor is None:
        return None
    kind = record.kind.value
    cylinder = record.cylinder.value if record.cylinder and kind != ZERO else ""
    found = (windows.by_case.get((cylinder, record.sensor.value, like)) for like in (kind, BUMP_TEST))
    return next((window for window in found if window), None) if kind in (ZERO, *WITH_GAS) else None


def verdict_of(record: Record, windows: Windows, fitted: tuple[str, ...]) -> Verdict:
    """The verdict on one record; ``fitted`` are the sensors of its unit's model."""
    kind = record.kind.value
    if kind in NOT_CHECKS:
        return NOTHING
    about = _about(record, windows, fitted)
    expired, lacks = _expired(record, windows), bool(fitted) and not about
    found, left = _outside(record.as_found, record, windows, ZERO), _outside(record.as_left, record, windows)
    outside, sure = _what_lies_outside(record, windows, found, left)
    failed = record.result is not None and record.result.value == "fail"
    out = found is not None and found[0]
    found_out = out or outside == "seconds" or (failed and (found is None or kind not in ADJUSTS))
    good: bool | None = not (failed or outside)
    silent = record.result is None and kind in WITH_GAS and found is None and left is None
    if good and (expired or lacks or silent or _of_no_cylinder(record, windows)):
        good = None
    if failed:
        sure = True
    elif not outside and found is not None:
        sure = found[1]
    return _made(
        good=good, found_out=found_out, sure=sure, outside=outside, expired=expired, lacks=lacks, sensors=about
    )


def _what_lies_outside(
    record: Record, windows: Windows, found: tuple[bool, bool] | None, left: tuple[bool, bool] | None
) -> tuple[str, bool]:
    """What decides against a pass, and whether that is sure; a calibration is judged by what it leaves."""
    if record.kind.value in ADJUSTS and left is not None:
        return ("as-left" if left[0] else ""), left[1]
    if found is not None and found[0]:
        return "as-found", found[1]
    if left is not None and left[0]:
        return "as-left", left[1]
    return ("seconds" if _slow(record, windows) else ""), True


def _outside(
    value: Cell[Fraction] | None, record: Record, windows: Windows, mended: str = ""
) -> tuple[bool, bool] | None:
    """Whether a reading is outside and whether that is sure, or ``None`` without reading or window.

    :param mended: the kind of check that mends what it finds, where it is near enough.
    """
    window = window_for(record, windows) if value is not None else None
    if value is None or window is None:
        return None
    if record.kind.value == mended:
        return abs(value.value - window.expected) > window.tolerance, True
    holds = window.holds(value.value)
    return not holds, holds or window.surely_out(value.value)


def _slow(record: Record, windows: Windows) -> bool:
    allowed = windows.alarms_within.get(record.kind.value)
    return allowed is not None and record.seconds is not None and record.seconds.value > allowed


def _expired(record: Record, windows: Windows) -> bool:
    cylinder = record.cylinder.value if record.cylinder else ""
    first, last = windows.certified.get(cylinder, record.day), windows.expires.get(cylinder, record.day)
    return not first <= record.day <= last


def _of_no_cylinder(record: Record, windows: Windows) -> bool:
    """Whether the row names no cylinder of the site, and none of them makes such a check show what was read."""
    value = record.as_left or record.as_found
    if value is None or record.sensor is None or (record.cylinder and record.cylinder.value in windows.holds):
        return False
    like = (record.sensor.value, record.kind.value)
    known = [window for case, window in windows.by_case.items() if case[0] and case[1:] == like]
    return bool(known) and not any(window.holds(value.value) for window in known)


def _about(record: Record, windows: Windows, fitted: tuple[str, ...]) -> tuple[str, ...]:
    """Its sensors, without those that its gas is not for: a bump test needs any they see, else what sets them."""
    sensors = (record.sensor.value,) if record.sensor else fitted
    cylinder = record.cylinder.value if record.cylinder else ""
    if cylinder not in windows.holds or record.kind.value not in WITH_GAS:
        return sensors
    if record.kind.value == BUMP_TEST:
        return tuple(sensor for sensor in sensors if sensor in windows.reached[cylinder])
    return tuple(sensor for sensor in sensors if windows.adjusted_with.get(sensor) in windows.holds[cylinder])
