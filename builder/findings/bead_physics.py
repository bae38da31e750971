"""What the physics of a catalytic sensor lets expect of a factor, beside what its table says."""

from __future__ import annotations

from fractions import Fraction

from builder.base.quantity import Quantity, magnitude, quantity
from builder.figures.formulas import bead
from builder.figures.ledger import Ledger
from builder.program.gases import Gas
from builder.program.keys.families import GAS_LEL
from builder.reference.combustion import burning_gas


def expected_factor(ledger: Ledger, shown: Gas, gas: Gas) -> Fraction | None:
    """The factor to be expected of a gas on a display that shows another, or ``None`` where too little is known."""
    signals = (_signal(ledger, shown), _signal(ledger, gas))
    if signals[0] is None or signals[1] is None:
        return None
    return magnitude(bead.expected_factor(signals[0], signals[1]), "")


def _signal(ledger: Ledger, gas: Gas) -> Quantity | None:
    facts, lel = burning_gas(gas.entry.id, gas.entry.formula), ledger.get(GAS_LEL(gas=gas.id))
    if facts is None or lel is None:
        return None
    spread = bead.diffusion(quantity(gas.entry.molar_mass, "g/mol"), quantity(facts.diffusion_volume, ""))
    return bead.signal(spread, quantity(facts.heat, "kJ/mol"), lel.amount)
