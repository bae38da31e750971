"""Formulas and molar masses against the library `chemicals`, which has its own weights (older than the table's)."""

from __future__ import annotations

from fractions import Fraction

import chemicals
import pytest
from chemicals.elements import periodic_table
from chemicals.identifiers import search_chemical
from hypothesis import given
from hypothesis import strategies as st

from builder.reference.errors import UnknownNameError
from builder.reference.formula import FormulaError, atomic_weight, is_paraffin, molar_mass, parse_formula
from builder.reference.library import GasEntry, library
from builder.reference.tables import read_table
from tests.each import each

GASES = [pytest.param(gas, id=gas.id) for gas in library().gases()]

OLDER_SULFUR = {"hydrogen-sulfide", "carbon-disulfide"}
"""`chemicals` weighs sulfur 32.065, the 2021 table 32.06 (nature varies from 32.059 to 32.076): 0.016 % apart."""


@each("gas", GASES)
def test_formula_has_the_atoms_chemicals_gives_this_cas_number(gas: GasEntry) -> None:
    assert parse_formula(gas.formula) == parse_formula(search_chemical(gas.cas).formula)


@each("gas", GASES)
def test_molar_mass_agrees_with_chemicals(gas: GasEntry) -> None:
    apart = abs(float(gas.molar_mass) / chemicals.MW(gas.cas) - 1)
    assert apart < (0.000_2 if gas.id in OLDER_SULFUR else 0.000_1)


@each("symbol", read_table("ciaaw-atomic-weights-2021").rows)
def test_atomic_weight_agrees_with_chemicals(symbol: str) -> None:
    assert float(atomic_weight(symbol)) == pytest.approx(getattr(periodic_table, symbol).MW, rel=0.000_2)


def test_every_atomic_weight_lies_within_its_uncertainty_of_the_natural_range() -> None:
    table = read_table("ciaaw-atomic-weights-2021")
    for symbol in table.rows:
        low, high = table.text(symbol, "lowest_g_mol"), table.text(symbol, "highest_g_mol")
        assert bool(low) == bool(high)
        if low:
            margin = Fraction(table.text(symbol, "uncertainty_g_mol"))
            assert Fraction(low) - margin <= atomic_weight(symbol) <= Fraction(high) + margin


def test_molar_mass_is_exact() -> None:
    # by hand from the 2021 weights: 12.011 + 4 × 1.0080
    assert molar_mass("CH4") == Fraction("16.043")


@each(
    ("text", "atoms"),
    [
        ("C2H6O", {"C": 2, "H": 6, "O": 1}),
        ("COCl2", {"C": 1, "O": 1, "Cl": 2}),
        ("CO", {"C": 1, "O": 1}),
        ("(CH3)2CO", {"C": 3, "H": 6, "O": 1}),
        ("CH3(CH2)2CH3", {"C": 4, "H": 10}),
        ("C(CH(CH3)2)2", {"C": 7, "H": 14}),
        ("Si((CH3)2)2", {"Si": 1, "C": 4, "H": 12}),
        ("AsH3", {"As": 1, "H": 3}),
    ],
)
def test_atoms_counted_by_hand(text: str, atoms: dict[str, int]) -> None:
    assert parse_formula(text) == atoms


@each("text", ["", "h2s", "H0", "H02", "(CH3", "CH3)", "()", "C2 H6", "C2H6+", "2H", "()2", "C(H()2)"])
def test_what_is_no_formula_is_refused(text: str) -> None:
    with pytest.raises(FormulaError, match="is no molecular formula"):
        parse_formula(text)


def test_an_element_without_weight_is_named() -> None:
    with pytest.raises(UnknownNameError, match="no element is called 'Xe'"):
        molar_mass("XeF2")


@given(st.dictionaries(st.sampled_from(["C", "H", "N", "O", "S", "Cl"]), st.integers(1, 40), min_size=1))
def test_any_written_formula_is_read_back(atoms: dict[str, int]) -> None:
    text = "".join(f"{element}{count}" for element, count in atoms.items())
    assert parse_formula(text) == atoms
    assert parse_formula(f"({text})3") == {element: 3 * count for element, count in atoms.items()}


ABRIDGED = {
    "H": "1.0080 0.0002 1.00784 1.00811",
    "He": "4.002602 0.000002",
    "C": "12.011 0.002 12.0096 12.0116",
    "N": "14.007 0.001 14.00643 14.00728",
    "O": "15.999 0.001 15.99903 15.99977",
    "F": "18.998403162 0.000000005",
    "P": "30.973761998 0.000000005",
    "S": "32.06 0.02 32.059 32.076",
    "Cl": "35.45 0.01 35.446 35.457",
    "Ar": "39.95 0.16 39.792 39.963",
    "As": "74.921595 0.000006",
}
"""Weight, uncertainty and natural interval: Prohaska et al., Pure Appl. Chem. 94 (2022) 573, from memory."""


def test_every_cell_of_the_atomic_weights_is_what_a_second_reading_has() -> None:
    columns = ("atomic_weight_g_mol", "uncertainty_g_mol", "lowest_g_mol", "highest_g_mol")
    rows = read_table("ciaaw-atomic-weights-2021").rows
    assert {symbol: " ".join(filter(None, map(row.get, columns))) for symbol, row in rows.items()} == ABRIDGED


@each(
    ("name", "paraffin"),
    [
        *((name, True) for name in ("methane", "ethane", "propane", "butane", "isobutane", "pentane", "hexane")),
        *((name, False) for name in ("ethylene", "acetylene", "benzene", "toluene", "hydrogen", "carbon monoxide")),
        *((name, False) for name in ("methanol", "ethanol", "ammonia", "methyl chloride", "dichloromethane")),
    ],
)
def test_paraffins_are_hydrocarbons_saturated_with_hydrogen(name: str, *, paraffin: bool) -> None:
    """IUPAC Gold Book, *alkanes*: acyclic hydrocarbons CnH2n+2; `chemicals` tells the formula of each."""
    assert is_paraffin(search_chemical(name).formula) == paraffin
