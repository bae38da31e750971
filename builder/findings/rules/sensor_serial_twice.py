"""One sensor, by its serial number, entered twice, in two units or in one: an entry is wrong, and so is its history.

Source: common practice, no published source.
"""

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
            if serial in first:
                other = first[serial][0]
                yield Finding(
                    rule=ID,
                    severity=Severity.STOP,
                    message=f"Sensor {part.serial.value} stands {_where(unit.id, other)}. It can be in "
                    "one place only, so age and checks of the other are not its own.",
                    where=part.serial.where,
                    source=COMMON_PRACTICE,
                    mend="look at the sensors themselves and correct the entry",
                    subject=f"unit:{unit.id}",
                    touches=tuple(dict.fromkeys((f"unit:{unit.id}", f"unit:{other}"))),
                )
            first.setdefault(serial, (unit.id, part.serial.where))


def _where(unit: str, other: str) -> str:
    return f"twice in {unit}" if unit == other else f"in {unit} and in {other}"
