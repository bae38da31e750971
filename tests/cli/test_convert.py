"""`handbook convert` against published pairs and outside libraries, and its refusals."""

from __future__ import annotations

import pytest
from chemicals.safety import ppmv_to_mgm3

from builder.cli import run


def said(capsys, *arguments):
    status = run(["convert", *arguments])
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def test_hydrogen_sulfide_in_mass_agrees_with_the_chemicals_library(capsys):
    status, out, _ = said(capsys, "10", "ppm", "mg/m3", "--gas", "hydrogen-sulfide", "--temperature", "25",
                          "--pressure", "101.325")  # fmt: skip
    assert status == 0
    value = float(out.split()[0])
    # chemicals 1.5.2: ppmv_to_mgm3 with its own molar mass of hydrogen sulfide, at 298.15 K and 101325 Pa
    assert value == pytest.approx(ppmv_to_mgm3(10, MW=34.08088, T=298.15, P=101325), rel=5e-4)
    assert "gas.ppm-to-mgm3" in out
    assert "29 CFR 1910.1000" in out


@pytest.mark.parametrize(
    ("basis", "expected"),
    # 2.2 %vol methane: 50 %LEL on 4.4 %vol (IEC 60079-20-1:2010), 44 %LEL on 5 %vol (NFPA 497:2008)
    [("iec-60079-20-1-2010", "50.00 %LEL"), ("nfpa-497-2008", "44.00 %LEL")],
)
def test_methane_depends_on_the_basis(capsys, basis, expected):
    status, out, _ = said(capsys, "2.2", "%vol", "%LEL", "--gas", "CH4", "--basis", basis)
    assert status == 0
    assert out.splitlines()[0] == expected


def test_basis_is_never_guessed(capsys):
    status, out, err = said(capsys, "2.2", "%vol", "%LEL", "--gas", "methane")
    assert (status, out) == (2, "")
    assert "%LEL of Methane depends on the table, so --basis is needed" in err
    assert "4.4 %vol" in err
    assert "5 %vol" in err


def test_conditions_are_never_assumed(capsys):
    status, out, err = said(capsys, "10", "ppm", "mg/m3", "--gas", "H2S")
    assert (status, out) == (2, "")
    assert "--temperature and --pressure must be given" in err


def test_unknown_unit_names_the_nearest(capsys):
    status, _, err = said(capsys, "10", "pmm", "mg/m3")
    assert status == 2
    assert "unknown unit 'pmm'" in err
    assert "nearest: ppm" in err


def test_gas_without_published_limit_is_refused(capsys):
    status, _, err = said(capsys, "10", "%LEL", "%vol", "--gas", "carbon dioxide")
    assert status == 1
    assert "no published value in the library" in err


def test_unknown_gas_names_the_nearest(capsys):
    status, _, err = said(capsys, "10", "ppm", "mg/m3", "--gas", "toluen", "--temperature", "25", "--pressure", "101.3")
    assert status == 1
    assert "toluene" in err
