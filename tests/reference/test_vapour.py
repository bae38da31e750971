"""Vapour pressures of the shipped table against other published tables, none of them the one it was copied from."""

from __future__ import annotations

import pytest
from chemicals import vapor_pressure

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, magnitude, quantity
from builder.figures.formulas.vapour import vapour_pressure
from builder.reference.library import library
from builder.reference.tables import read_table
from builder.reference.vapour import COEFFICIENTS, VAPOUR_PRESSURES, vapour_fit
from tests.each import each

UNITS = ("", "K", "", "", "")
LIQUIDS = tuple(read_table(VAPOUR_PRESSURES).rows)
POCKET_GUIDE = {
    # NIOSH Pocket Guide, vapour pressure at 68 °F = 20 °C in mmHg, printed to two digits; all from memory
    "toluene": 21,
    "acetone": 180,
    "methanol": 96,
    "benzene": 75,
    "ethanol": 44,
    "isopropanol": 33,
    "n-hexane": 124,
    "styrene": 5,
    "carbon-disulfide": 297,
    "acrylonitrile": 83,
    "n-pentane": 420,
    "ethyl-acetate": 73,
    "cyclohexane": 78,
    "diethyl-ether": 440,
    "n-octane": 10,
    "hydrogen-cyanide": 630,
}


def pressure(gas: str, kelvin: object) -> Quantity:
    fit = vapour_fit(gas)
    assert fit is not None
    numbers = [quantity(number, unit) for number, unit in zip(fit.coefficients, UNITS, strict=True)]
    return vapour_pressure(quantity(kelvin, "K"), *numbers, quantity(fit.coldest, "K"), quantity(fit.hottest, "K"))


@each(("gas", "mmhg"), POCKET_GUIDE.items())
def test_agrees_with_the_pocket_guide_at_20_celsius(gas: str, mmhg: int) -> None:
    # half a unit of a two-digit number is up to 5 %, of one digit up to 10 %; measurements differ by some per cent
    allowed = 0.11 if mmhg < 10 else 0.06
    assert float(magnitude(pressure(gas, "293.15"), "mmHg")) == pytest.approx(mmhg, rel=allowed)


def antoine(gas: str, kelvin: float) -> float | None:
    """Poling, Prausnitz, O'Connell, Properties of Gases and Liquids, 5th edition, as `chemicals` carries it; Pa."""
    table = vapor_pressure.Psat_data_AntoinePoling
    cas = library().gas(gas).cas
    if cas not in table.index:
        return None
    row = table.loc[cas]
    inside = row["Tmin"] <= kelvin <= row["Tmax"]
    return vapor_pressure.Antoine(kelvin, row["A"], row["B"], row["C"]) if inside else None


@each("gas", LIQUIDS)
def test_agrees_with_the_antoine_equation_of_another_book(gas: str) -> None:
    for kelvin in range(280, 331, 5):
        expected = antoine(gas, float(kelvin))
        if expected is not None:
            assert float(magnitude(pressure(gas, kelvin), "Pa")) == pytest.approx(expected, rel=0.05), kelvin


def test_the_other_book_has_most_of_the_liquids() -> None:
    compared = [gas for gas in LIQUIDS if any(antoine(gas, float(kelvin)) for kelvin in range(280, 331, 5))]
    assert len(compared) >= 17


@each("gas", LIQUIDS)
def test_agrees_with_the_third_book(gas: str) -> None:
    # Hall and Dykyj, Landolt-Börnstein IV/20 (1999 to 2001), as `chemicals` carries it: Antoine with ln, Pa and K
    table = vapor_pressure.Psat_data_Landolt_Antoine
    cas = library().gas(gas).cas
    if cas not in table.index:
        return
    row = table.loc[cas]
    for text in ("283.15", "293.15", "303.15", "313.15"):
        kelvin = float(text)
        if row["Tmin"] <= kelvin <= row["Tmax"]:
            expected = vapor_pressure.Antoine(kelvin, row["A"], row["B"], row["C"], base=2.718281828459045)
            assert float(magnitude(pressure(gas, text), "Pa")) == pytest.approx(expected, rel=0.05), text


@each("gas", LIQUIDS)
def test_is_copied_faithfully(gas: str) -> None:
    # proves copying, not truth
    row = vapor_pressure.Psat_data_Perrys2_8.loc[library().gas(gas).cas]
    fit = vapour_fit(gas)
    assert fit is not None
    assert [float(number) for number in fit.coefficients] == [row[name] for name in ("C1", "C2", "C3", "C4", "C5")]
    assert (float(fit.coldest), float(fit.hottest)) == (row["Tmin"], row["Tmax"])
    assert len(fit.texts) == len(COEFFICIENTS)
    assert fit.read


@pytest.mark.parametrize("kelvin", ["178.17", "591.76"])
def test_outside_its_range_it_refuses(kelvin: str) -> None:
    with pytest.raises(OutOfRangeError, match=r"allowed: at least 178\.18 K and at most 591\.75 K"):
        pressure("toluene", kelvin)


def test_what_the_table_lacks_is_absent() -> None:
    assert vapour_fit("propylene-oxide") is None
    assert vapour_fit("methane") is None
