"""Quantities: exact numbers with units that cannot pass for each other. SI factors: SI Brochure, 9th edition."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.base.quantity import (
    ALSO_WRITTEN,
    UNITS,
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

SHARES = ("%LEL", "%vol", "%")


@pytest.mark.parametrize(
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


@pytest.mark.parametrize("unit", UNITS)
def test_converts_as_the_library_of_units_does_or_refuses_as_it_does(unit):
    """Source: pint's own conversion, which is asked for each number anew."""
    for written, value in product(UNITS, ("0", "1", "-40", "7/3")):
        found = quantity(Fraction(value), written)
        try:
            expected = found.to(UNITS[unit]).magnitude
        except pint.DimensionalityError:
            with pytest.raises(pint.DimensionalityError):
                magnitude(found, unit)
            assert not same_dimension(found, unit)
        else:
            assert magnitude(found, unit) == expected


@pytest.mark.parametrize(
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


@pytest.mark.parametrize("text", ["1/3", "1.", ".5", "1_000", "0x10", "inf", "1e", "1e100", "9" * 41, "--1", "1 2", ""])
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
        with pytest.raises(pint.DimensionalityError):
            magnitude(quantity(1, one), other)
        with pytest.raises(pint.DimensionalityError):
            quantity(1, one) + quantity(1, other)


@pytest.mark.parametrize("share", ["%LEL", "%vol", "ppm"])
def test_a_share_is_no_plain_number(share):
    assert not same_dimension(quantity(1, share), "")
    assert not same_dimension(quantity(1, share), "mg/m3")


@pytest.mark.parametrize(
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


@pytest.mark.parametrize(("other", "spelling"), ALSO_WRITTEN.items())
def test_every_other_spelling_stands_for_a_unit(other, spelling):
    assert unit_spelling(other) == spelling
    assert spelling in UNITS
    assert other not in UNITS


@pytest.mark.parametrize(("unit", "shown"), [("mg/m3", "mg/m³"), ("m3/h", "m³/h"), ("ppm", "ppm"), ("%LEL", "%LEL")])
def test_exponents_are_printed_raised(unit, shown):
    assert printed_unit(unit) == shown


@pytest.fixture(scope="module")
def whole_library():
    """All that the library defines, read anew from its own text."""
    return pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


@pytest.mark.parametrize(
    "spelling", [name for name in UNITS if not UNITS[name].endswith(("_vol", "_lel", "decibel_a"))]
)
def test_every_unit_is_what_the_units_library_itself_says(whole_library, spelling):
    """Its own definitions are the outside source; shares of volume and LEL, and weighted levels, are ours alone."""
    for value in (Fraction(0), Fraction(7, 3)):
        outside = whole_library.Quantity(value, UNITS[spelling]).to_root_units()
        ours = quantity(value, spelling).to_root_units()
        assert (ours.magnitude, dict(ours.dimensionality)) == (outside.magnitude, dict(outside.dimensionality))
