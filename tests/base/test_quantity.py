"""Quantities: exact numbers with units that cannot pass for each other. SI factors: SI Brochure, 9th edition."""

from __future__ import annotations

import operator
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.base.quantity import (
    ALSO_WRITTEN,
    UNITS,
    DimensionError,
    QuantityError,
    magnitude,
    parse_number,
    parse_quantity,
    printed_unit,
    quantity,
    same_dimension,
    unit_spelling,
)
from builder.base.rounding import plain
from tests.each import each

SHARES = ("%LEL", "%vol", "%")
EXPRESSIONS = {
    "%LEL": "percent_lel",
    "%vol": "percent_vol",
    "ppm": "ppm_vol",
    "ppb": "ppb_vol",
    "mg/m3": "milligram / meter ** 3",
    "g/m3": "gram / meter ** 3",
    "%": "percent",
    "": "dimensionless",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "days": "day",
    "L/min": "liter / minute",
    "mL/min": "milliliter / minute",
    "m3/h": "meter ** 3 / hour",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "ft": "foot",
    "mL": "milliliter",
    "L": "liter",
    "m3": "meter ** 3",
    "m/s": "meter / second",
    "m/min": "meter / minute",
    "s/m": "second / meter",
    "kPa": "kilopascal",
    "hPa": "hectopascal",
    "Pa": "pascal",
    "bar": "bar",
    "mmHg": "mmHg",
    "°C": "degree_Celsius",
    "K": "kelvin",
    "eV": "electron_volt",
    "g/mol": "gram / mole",
    "L/mol": "liter / mole",
    "kJ/mol": "kilojoule / mole",
    "cm2/s": "centimeter ** 2 / second",
    "dB(A)": "decibel_a",
    "kg": "kilogram",
    "g": "gram",
}
"""Each unit as a library of units writes it."""
OURS_ALONE = (
    "volume_fraction = [volume_fraction]",
    "percent_vol = volume_fraction / 100",
    "ppm_vol = volume_fraction / 1000000",
    "ppb_vol = volume_fraction / 1000000000",
    "percent_lel = [share_of_lower_explosive_limit]",
    "decibel_a = [sound_level]",
)


@each(
    ("text", "value", "unit"),
    [
        ("10 %LEL", "10", "%LEL"),
        ("0.5 L/min", "0.5", "L/min"),
        ("2.5%vol", "2.5", "%vol"),
        ("  7  ppm ", "7", "ppm"),
        ("-20 °C", "-20", "°C"),
        ("−20 °C", "-20", "°C"),
        ("+5 ppm", "5", "ppm"),
        ("1e3 ppm", "1000", "ppm"),
        ("2.5e-3 g", "0.0025", "g"),
        ("0.1 ppm", "1/10", "ppm"),
        ("3 hours", "3", "h"),
        ("20 vol%", "20", "%vol"),
        ("5 mg/m³", "5", "mg/m3"),
        ("1 day", "1", "days"),
    ],
)
def test_reads(text, value, unit):
    found, spelling = parse_quantity(text)
    assert (magnitude(found, unit), spelling) == (Fraction(value), unit)


@pytest.fixture(scope="module")
def library_of_units():
    """All that pint defines, and the shares and levels that it does not know."""
    import pint  # here, as every worker loads this module and one asks for this

    units = pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)
    units.load_definitions(OURS_ALONE)
    return units


@each("unit", UNITS)
def test_converts_as_a_library_of_units_does_or_refuses_as_it_does(library_of_units, unit):
    """Source: pint's own definitions and conversions; shares of volume and LEL, and weighted levels, are ours alone."""
    import pint

    for written, value in product(UNITS, ("0", "1", "-40", "7/3")):
        found = quantity(Fraction(value), written)
        try:
            expected = library_of_units.Quantity(Fraction(value), EXPRESSIONS[written]).m_as(EXPRESSIONS[unit])
        except pint.DimensionalityError:
            with pytest.raises(DimensionError):
                magnitude(found, unit)
            assert not same_dimension(found, unit)
        else:
            assert magnitude(found, unit) == expected


@each("one", UNITS)
def test_compares_and_adds_as_a_library_of_units_does_or_refuses_as_it_does(library_of_units, one):
    """Source: as above."""
    import pint

    first, left = quantity("7/3", one), library_of_units.Quantity(Fraction(7, 3), EXPRESSIONS[one])
    for other in UNITS:
        second, right = quantity(2, other), library_of_units.Quantity(Fraction(2), EXPRESSIONS[other])
        for asked in (operator.lt, operator.le, operator.gt, operator.ge, operator.add, operator.sub):
            try:
                expected = asked(left, right)
            except (pint.DimensionalityError, pint.OffsetUnitCalculusError):
                with pytest.raises(DimensionError):
                    asked(first, second)
                continue
            if isinstance(expected, bool):
                assert asked(first, second) is expected
            elif "°C" not in (one, other):  # the library subtracts some of them; here none is added or subtracted
                found = asked(first, second)
                assert (found.magnitude, found.unit) == (expected.m_as(EXPRESSIONS[one]), one)


@pytest.mark.parametrize("asked", [operator.add, operator.sub])
def test_points_on_a_scale_of_temperature_are_not_added(asked):
    for one, other in (("°C", "°C"), ("°C", "K"), ("K", "°C")):
        with pytest.raises(DimensionError, match=f"^{other} and {one} cannot be added$"):
            asked(quantity(20, one), quantity(5, other))


@each(
    ("text", "found", "close"),
    [
        ("10", "'10' has no unit", ()),
        ("", "'' is no quantity", ()),
        ("ppm", "'ppm' is no quantity", ()),
        ("5 pmm", "unknown unit 'pmm'", ("mm", "ppm")),
        ("1,000 ppm", "'1,000 ppm' has a comma or a gap in its number", ()),
        ("60,5 s", "'60,5 s' has a comma or a gap in its number", ()),
        ("10 000 ppm", "'10 000 ppm' has a comma or a gap in its number", ()),
        ("5 %lel", "unknown unit '%lel'", ("%LEL", "% LEL", "%LFL")),
        ("10 l/mn", "unknown unit 'l/mn'", ("L/min", "mL/min", "m/min")),
        ("34 barg", "unknown unit 'barg'", ("bar",)),
        (".5 ppm", "'.5 ppm' is no quantity", ()),
        ("½ ppm", "'½ ppm' is no quantity", ()),
        ("١٠ ppm", "'١٠ ppm' is no quantity", ()),
        ("nan ppm", "'nan ppm' is no quantity", ()),
        ("1e999999999 ppm", "a number too long to be meant, '1e999999999 ppm' and so on", ()),
        ("1" + "0" * 50 + " s", "a number too long to be meant, '10000000000000000000' and so on", ()),
    ],
)
def test_refuses_what_is_no_quantity(text, found, close):
    with pytest.raises(QuantityError) as caught:
        parse_quantity(text)
    assert (caught.value.found, caught.value.nearest) == (found, close)


def test_the_message_names_every_unit():
    with pytest.raises(QuantityError) as caught:
        unit_spelling("furlong")
    assert str(caught.value) == "unknown unit 'furlong'; allowed: one of " + ", ".join(name for name in UNITS if name)


@each("text", ["1/3", "1.", ".5", "1_000", "0x10", "inf", "1e", "1e100", "9" * 41, "--1", "1 2", ""])
def test_refuses_what_is_no_decimal_number(text):
    with pytest.raises(QuantityError) as caught:
        parse_number(text)
    assert str(caught.value) == f"{text!r} is no number; allowed: decimal digits with a point, such as 0.5"


@given(st.integers(-(10**12), 10**12), st.integers(0, 12), st.sampled_from([unit for unit in UNITS if unit]))
def test_what_is_written_is_read_exactly(digits, places, unit):
    value = Fraction(digits, 10**places)
    found, spelling = parse_quantity(f"{plain(value)} {unit}")
    assert (magnitude(found, unit), spelling) == (value, unit)


def test_floats_are_refused():
    with pytest.raises(TypeError, match=r"^quantities are exact: give text, an integer or a fraction$"):
        quantity(0.1, "ppm")


@pytest.mark.parametrize("one", SHARES)
@pytest.mark.parametrize("other", SHARES)
def test_shares_of_different_things_never_convert(one, other):
    assert same_dimension(quantity(1, one), other) is (one == other)
    if one != other:
        with pytest.raises(DimensionError):
            magnitude(quantity(1, one), other)
        with pytest.raises(DimensionError):
            quantity(1, one) + quantity(1, other)


@pytest.mark.parametrize("share", ["%LEL", "%vol", "ppm"])
def test_a_share_is_no_plain_number(share):
    assert not same_dimension(quantity(1, share), "")
    assert not same_dimension(quantity(1, share), "mg/m3")


@each(
    ("value", "unit", "expect", "into"),
    [
        (1, "%vol", "10000", "ppm"),
        (1, "ppm", "1000", "ppb"),
        (1, "bar", "100", "kPa"),
        (1, "hPa", "1/10", "kPa"),
        (1, "ft", "0.3048", "m"),
        (1, "m3/h", "50/3", "L/min"),
        (1, "h", "3600", "s"),
        (0, "°C", "273.15", "K"),
        (100, "%", "1", ""),
        (1, "g/m3", "1000", "mg/m3"),
    ],
)
def test_converts_exactly(value, unit, expect, into):
    assert magnitude(quantity(value, unit), into) == Fraction(expect)


def test_a_millimetre_of_mercury_is_that_of_the_si_brochure():
    """SI Brochure, 8th edition, table 8: 1 mmHg is about 133.322 Pa."""
    assert float(magnitude(quantity(1, "mmHg"), "Pa")) == pytest.approx(133.322, abs=0.0005)


@each(("other", "spelling"), ALSO_WRITTEN.items())
def test_every_other_spelling_stands_for_a_unit(other, spelling):
    assert unit_spelling(other) == spelling
    assert spelling in UNITS
    assert other not in UNITS


@pytest.mark.parametrize(("unit", "shown"), [("mg/m3", "mg/m³"), ("m3/h", "m³/h"), ("ppm", "ppm"), ("%LEL", "%LEL")])
def test_exponents_are_printed_raised(unit, shown):
    assert printed_unit(unit) == shown
