"""One sensor, by its serial number, entered in two units: one of the two entries is wrong, and so is its history.

Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE

ID = "sensor-serial-twice"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each later entry of a serial number."""
    first: dict[str, tuple[str, Where]] = {}
    for unit in computed.program.units.values():
        for part in unit.sensors:
            if part.serial is None:
                continue
            serial = part.serial.value.casefold()
            if serial in first and first[serial][0] != unit.id:
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP,
                    message=f"Sensor {part.serial.value} stands in {unit.id} and in {first[serial][0]}. It can be in "
                    "one of them only, so age and checks of the other are not its own.",
                    where=part.serial.where,
                    source=COMMON_PRACTICE,
                    mend="look at the sensors of both units and correct the entry",
                    subject=f"unit:{unit.id}",
                    touches=(f"unit:{unit.id}", f"unit:{first[serial][0]}"),
                )
            first.setdefault(serial, (unit.id, part.serial.where))
