"""A response factor below 1 on a catalytic sensor showing methane, for a heavier hydrocarbon or solvent vapour.

Such gases make a weaker signal than methane, so the multiplying factor lies above 1; a smaller one looks like the
relative response, which divides. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.alarms import factor_on
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.gases import Gas
from builder.program.keys.families import FACTOR
from builder.reference.formula import parse_formula

ID = "factor-inverted"
SEVERITIES = (Severity.WARN,)


METHANE = "methane"


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such factor: some sensors do differ, so the site must look at the source."""
    program, ledger = computed.program, computed.ledger
    for sensor in program.sensors.values():
        shown = program.gases[sensor.shows.value]
        if sensor.principle != "catalytic" or shown.entry.id != METHANE or sensor.factors is None:
            continue
        for name, stated in sensor.factors.table.items():
            gas = program.gases[name]
            if factor_on(sensor, name) < 1 and _organic(gas) and gas.entry.molar_mass > shown.entry.molar_mass:
                used = ledger.get(FACTOR(sensor=sensor.id, gas=name))
                text = used.text if used else stated.text
                yield Finding(
                    rule=ID,
                    severity=Severity.WARN,
                    message=f"{sensor.name}: the factor {text} for {gas.name} is below 1, though the gas is "
                    f"heavier than methane; it looks like a relative response, which divides instead of multiplying.",
                    where=stated.where,
                    figures=keys(used),
                    source=COMMON_PRACTICE,
                    mend="compare with the sensor's manual; enter the number that multiplies the reading",
                    subject=f"sensor:{sensor.id}",
                )


def _organic(gas: Gas) -> bool:
    return {"C", "H"} <= set(parse_formula(gas.entry.formula))
