"""A cylinder whose %LEL label does not follow from its certified content on the very basis the label names.

Labels are rounded, so a difference up to 5 % of the label is let pass. Source: the table of explosive limits on the
label.
"""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.finding import Finding, Severity
from builder.base.quantity import Quantity, magnitude
from builder.base.rounding import Direction, Rounding
from builder.base.rounding import printed_text as rounded
from builder.base.where import Given
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.wording import keys, severity_allowed
from builder.program.cylinders import Component
from builder.program.keys.families import CYLINDER_GAS, GAS_BOUND_IN_TABLE

ID = "label-mismatch"
SEVERITIES = (Severity.STOP, Severity.WARN, Severity.NOTE)


ALLOWED = Fraction(5, 100)
"""Share of the label by which it may differ: labels are rounded."""
CHART = Rounding(direction=Direction.NEAREST, digits=3, why="a comparison, to nearest")


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop``; a ``warn`` where the table has no limit for the gas or it was not read."""
    program, ledger = computed.program, computed.ledger
    for cylinder in program.bottles:
        for part in cylinder.components:
            if part.label is None or part.label_basis is None:
                continue
            basis, name = part.label_basis.value, program.gases[part.gas.value].name
            lel = ledger.get(GAS_BOUND_IN_TABLE(gas=part.gas.value, bound="lel", basis=basis))
            severity, told = _judge(part, part.label, lel)
            if told:
                yield Finding(
                    rule=ID,
                    severity=severity,
                    message=f"Cylinder {cylinder.id}: {part.value.text} of {name} {told}",
                    where=part.label.where,
                    figures=keys(ledger.get(CYLINDER_GAS(cylinder=cylinder.id, gas=part.gas.value)), lel),
                    source=lel.source if lel else f"table {basis}",
                    mend="compare label and certificate; do not use the cylinder until they agree",
                    subject=f"cylinder:{cylinder.id}",
                )


def _judge(part: Component, label: Given[Quantity], lel: Figure | None) -> tuple[Severity, str]:
    """The weight and the words of a fault; no words where the label is right."""
    if lel is None or not isinstance(lel.exact, Fraction):
        return Severity.WARN, f"is labelled {label.text} on a basis that has no explosive limit for it: not checked."
    follows = 100 * magnitude(part.value.value, "%vol") / lel.exact
    stated = magnitude(label.value, "%LEL")
    if abs(follows - stated) <= ALLOWED * stated:
        return Severity.NOTE, ""
    severity, caveat = severity_allowed(Severity.STOP, lel)
    told = (
        f"is {rounded(follows, CHART)} %LEL on the label's own basis, but the label says {label.text}; "
        f"more than 5 % of the label is more than its rounding.{caveat}"
    )
    return severity, told
