"""Sensors of detectors in areas whose error is not stated: no room for it can be kept between an alarm and its limit.

Source: common practice; the manual of a detector states how far its display may lie off.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, short_list

ID = "error-not-stated"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """One ``note`` for all of them."""
    program = computed.program
    carried = (model for area in program.areas.values() for model in program.models_in(area))
    sensors = {sensor.id: sensor for model in carried for _, sensor in program.fitted(model) if sensor.error is None}
    if sensors:
        first = next(iter(sensors.values()))
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"How far the display may lie off is not known of: "
            f"{short_list([sensor.name for sensor in sensors.values()])}. Whether their alarms leave room for it "
            f"cannot be judged.",
            where=first.where,
            figures=(),
            source=COMMON_PRACTICE,
            mend="state the error from the manual of the detector: error, with absolute, relative or both",
            subject=f"sensor:{first.id}",
            touches=tuple(f"sensor:{sensor}" for sensor in sensors),
        )
