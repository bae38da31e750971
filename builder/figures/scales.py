"""How much one of each unit of concentration is, for the reader's own conversions; exact, from the ledger's figures."""

from fractions import Fraction

from builder.base.quantity import magnitude, quantity
from builder.figures.formulas.conversion import convert
from builder.figures.ledger import Ledger
from builder.program.keys.families import GAS_LEL, GAS_MOLAR_MASS, REFERENCE_PRESSURE, REFERENCE_TEMPERATURE

UNITS = ("ppm", "%vol", "mg/m3", "%LEL")
"""Units a reader can convert between."""


def ppm_of_one(ledger: Ledger, gas: str) -> dict[str, Fraction]:
    """Parts per million that one of each unit is, at the reference conditions of the site's limits.

    A gas without a lower explosive limit on the site's basis has no ``%LEL``.
    """
    limit = ledger.get(GAS_LEL(gas=gas))
    made = {}
    for unit in UNITS:
        if unit == "%LEL" and limit is None:
            continue
        converted = convert(
            quantity(1, unit),
            unit,
            "ppm",
            molar_mass=ledger[GAS_MOLAR_MASS(gas=gas)].amount,
            lel=limit.amount if limit else None,
            temperature=ledger[REFERENCE_TEMPERATURE()].amount,
            pressure=ledger[REFERENCE_PRESSURE()].amount,
        )
        made[unit] = magnitude(converted.value, "ppm")
    return made
