"""A cylinder labelled in %LEL on another basis than the site's: the same gas has another number here.

Source: the two tables of explosive limits; 2.2 %vol methane is 50 %LEL on 4.4 %vol and 44 %LEL on 5.0 %vol.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import CYLINDER_GAS, CYLINDER_GAS_LEL, GAS_LEL

ID = "lel-basis"
SEVERITIES = (Severity.STOP,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop``: who adjusts to the label sets every instrument wrong."""
    program, ledger = computed.program, computed.ledger
    basis = program.site.basis.lel.value
    for cylinder in program.bottles:
        for part in cylinder.components:
            if part.label is None or part.label_basis is None or part.label_basis.value == basis:
                continue
            gas = program.gases[part.gas.value]
            here = ledger.get(CYLINDER_GAS_LEL(cylinder=cylinder.id, gas=gas.id))
            certified = ledger.get(CYLINDER_GAS(cylinder=cylinder.id, gas=gas.id))
            yield Finding(
                rule=ID,
                severity=Severity.STOP,
                message=f"Cylinder {cylinder.id}: its label says {part.label.text} of {gas.name} on the basis "
                f"{part.label_basis.value}, the site's basis is {basis}"
                + (f", on which it is {here.printed}." if here else "."),
                where=part.label_basis.where,
                figures=keys(here, certified, ledger.get(GAS_LEL(gas=gas.id))),
                source=program.library.source(basis).cited(),
                mend="get a cylinder labelled on the site's basis or in %vol only; never adjust to this label",
                subject=f"cylinder:{cylinder.id}",
            )
