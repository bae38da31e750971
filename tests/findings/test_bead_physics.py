"""What physics lets expect of a catalytic sensor, against the values of the literature and of a general library."""

from __future__ import annotations

import pytest
from chemicals import Hfg

from builder.base.quantity import magnitude, quantity
from builder.figures.formulas import bead
from builder.reference.combustion import HEATS, burning_gas
from builder.reference.formula import parse_formula
from builder.reference.library import library
from builder.reference.tables import read_table
from tests.each import each

CO2, STEAM = "124-38-9", "7732-18-5"
MEASURED = {  # cm2/s in air at 25 °C: Massman, Atmospheric Environment 32 (1998) 1111, from memory; within 8 percent
    "hydrogen": 0.756,
    "methane": 0.219,
    "carbon-monoxide": 0.208,
    "ammonia": 0.228,
}
EXPECTED = {  # worked out by another program from the same papers, limits of IEC 60079-20-1:2010, display on methane
    "ethane": 1.5,
    "propane": 1.9,
    "n-butane": 2.1,
    "n-pentane": 2.4,
    "n-hexane": 2.5,
    "hydrogen": 1.0,
    "carbon-monoxide": 1.2,
    "ammonia": 0.7,
    "ethylene": 1.6,
    "acetylene": 1.6,
    "methanol": 1.1,
    "ethanol": 1.5,
    "acetone": 1.7,
    "benzene": 2.2,
    "toluene": 2.4,
}


def spread(gas):
    entry = library().gas(gas)
    facts = burning_gas(gas, entry.formula)
    return bead.diffusion(quantity(entry.molar_mass, "g/mol"), quantity(facts.diffusion_volume, ""))


def signal(gas):
    lel = library().lel(gas, "iec-60079-20-1-2010")
    facts = burning_gas(gas, library().gas(gas).formula)
    return bead.signal(spread(gas), quantity(facts.heat, "kJ/mol"), quantity(lel.value, lel.unit))


@each("gas", sorted(read_table(HEATS).rows))
def test_heats_of_combustion_are_those_of_a_general_library(gas):
    entry = library().gas(gas)
    atoms = parse_formula(entry.formula)
    products = atoms.get("C", 0) * Hfg(CO2) + atoms.get("H", 0) / 2 * Hfg(STEAM)
    assert float(burning_gas(gas, entry.formula).heat) == pytest.approx((Hfg(entry.cas) - products) / 1000, abs=0.06)


@each(("gas", "measured"), MEASURED.items())
def test_diffusion_is_near_what_was_measured(gas, measured):
    assert float(magnitude(spread(gas), "cm2/s")) == pytest.approx(measured, rel=0.08)


@each(("gas", "factor"), EXPECTED.items())
def test_expected_factors_on_a_display_in_methane(gas, factor):
    found = magnitude(bead.expected_factor(signal("methane"), signal(gas)), "")
    assert float(found) == pytest.approx(factor, abs=0.051)
