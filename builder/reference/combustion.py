"""What a plausibility check of catalytic sensors needs of a gas: heat of combustion and size of the molecule."""

from fractions import Fraction
from typing import Final

from builder.base.record import dataclass
from builder.reference.formula import parse_formula
from builder.reference.sources import Source
from builder.reference.tables import read_table

HEATS: Final = "heats-of-combustion"
"""The table in use."""

VOLUMES: Final = {
    "C": Fraction("15.9"),
    "H": Fraction("2.31"),
    "O": Fraction("6.11"),
    "N": Fraction("4.54"),
}
"""Atomic diffusion volumes of Fuller, Ensley and Giddings, J. Phys. Chem. 73 (1969) 3679; from memory, not read."""
RING: Final = Fraction("-18.3")
"""Taken off for each ring; the same table, from memory."""
MOLECULES: Final = {"hydrogen": Fraction("6.12"), "carbon-monoxide": Fraction("18.0"), "ammonia": Fraction("20.7")}
"""Volumes of whole simple molecules, used in place of the sum; the same table, from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BurningGas:
    """One gas as a catalytic sensor meets it."""

    heat: Fraction
    """Lower heat of combustion, kJ/mol."""
    diffusion_volume: Fraction
    """Sum of atomic diffusion volumes, a plain number."""
    source: Source
    """The table of heats."""


def burning_gas(gas_id: str, formula: str) -> BurningGas | None:
    """What is known of a gas, or ``None`` for one that the table leaves out."""
    table = read_table(HEATS)
    row = table.rows.get(gas_id)
    if row is None:
        return None
    atoms = sum((VOLUMES[element] * count for element, count in parse_formula(formula).items()), Fraction(0))
    volume = MOLECULES.get(gas_id, atoms + RING * int(row["rings_number"]))
    return BurningGas(heat=Fraction(row["heat_kj_mol"]), diffusion_volume=volume, source=table.source)
