"""Figures of the small site against sums done by hand from published values; the sum stands beside each."""

from __future__ import annotations

from datetime import date

import pytest
from chemicals import ppmv_to_mgm3
from chemicals.elements import molecular_weight

from tests.each import each

NBSP = "\u00a0"


@each(
    ("key", "printed"),
    [
        # IEC 60079-20-1:2010 prints methane 4.4 %vol (chemicals 1.5.2, LFL of 74-82-8: 0.044); 2.2 / 4.4 = 50 %.
        ("gas.methane.lel", "4.4 %vol"),
        ("cylinder.c-1.methane.lel", "50.0 %LEL"),
        ("window.c-1.cat.bump.expected", "50 %LEL"),
        # 10 % of 50 is 5: 50 - 5 and 50 + 5.
        ("window.c-1.cat.bump.from", "45 %LEL"),
        ("window.c-1.cat.bump.to", "55 %LEL"),
        # 3 %LEL, narrowed by the cylinder's 2 % of 50 = 1: 50 - 2 and 50 + 2.
        ("window.c-1.cat.calibration.from", "48 %LEL"),
        ("window.c-1.cat.calibration.to", "52 %LEL"),
        # The greater of 2 ppm and 10 % of 25 = 2.5: 25 - 2.5 and 25 + 2.5.
        ("window.c-1.h2s.bump.from", "22.5 ppm"),
        ("window.c-1.h2s.bump.to", "27.5 ppm"),
        # By hand: 10 %LEL / 1.9 = 5.26, down to 5 on a 1 % display.
        # The largest factor of the pit's hazards is that of propane, 1.9.
        ("setpoint.pit.flammable.high", "5 %LEL"),
        # 5 / 1.9 = 2.63, down to 2.
        ("setpoint.pit.flammable.low", "2 %LEL"),
        # With the factor applied back to what is set: 5 x 1.9 = 9.5, up to 10, not over the rule's 10.
        ("setpoint.pit.propane.high.true", "10 %LEL"),
        # 5 % x 1.9 x 1.7 %vol (IEC 60079-20-1:2010, propane) = 0.1615, up to 0.17.
        ("setpoint.pit.propane.high.vol", "0.17 %vol"),
        # 5 % x 4.4 %vol = 0.22, exact.
        ("setpoint.pit.methane.high.vol", "0.22 %vol"),
        # 19.45 and 23.57 on a 0.1 display: the falling alarm up, the rising one down.
        ("setpoint.pit.oxygen.low", "19.5 %vol"),
        ("setpoint.pit.oxygen.high", "23.5 %vol"),
        # Toluene factor 0.5: the display of 50 ppm means 25 ppm.
        ("setpoint.store.toluene.low.vapour", "25.0 ppm"),
        # 2.5 x 1.9 = 4.75, up to 5; 5 x 1.9 = 9.5, up to 10; 10 x 1.9 = 19.
        ("reading.pit.propane.at-2-5", "5 %LEL"),
        ("reading.pit.propane.at-5", "10 %LEL"),
        ("reading.pit.propane.at-10", "19 %LEL"),
        # 29 CFR 1910.146(b): hazardous over 10 % of the LFL, below 19.5 % and above 23.5 % oxygen.
        ("limit.pit.flammable", "> 10 %LEL"),
        ("limit.pit.oxygen-low", "< 19.5 %vol"),
        ("limit.pit.oxygen-high", "> 23.5 %vol"),
        # Boyle: (34 - 1.7) bar x 1.6 L / 1.01325 bar = 51.0 L; 0.5 L/min x 60 s = 0.5 L a test: 102.0 tests.
        ("cylinder.c-1.gas-left", "51 L"),
        ("cylinder.c-1.tests-left", "102"),
        # (30 - 1.7) x 1.6 / 1.01325 = 44.7, down to 44 L; 44.7 / 0.5 = 89.4, down to 89: not 44 / 0.5 = 88.
        ("cylinder.c-2.gas-left", "44 L"),
        ("cylinder.c-2.tests-left", "89"),
        # pi x 0.3 cm x 0.3 cm / 4 x 1000 cm = 70.7 mL; at 0.5 L/min 8.5 s.
        ("hose.pit.three-pumped.volume", "71 mL"),
        ("hose.pit.three-pumped.transit", "9 s"),
        # HSE CEMHD1-2020: at least 3 s a metre x 10 m = 30 s, and the slowest T90, 20 s.
        ("hose.pit.three-pumped.draw-time", "30 s"),
        ("hose.pit.three-pumped.wait", "50 s"),
        # 29 CFR 1910.146 App. B(4), every 4 ft = 1.2192 m: 4 / 1.2192 = 3.3: 4 steps, 5 levels; 5 x 50 s = 4.2 min.
        ("levels.pit.count", "5"),
        ("levels.pit.total-time", "5 min"),
        # 60 + 30.
        ("model.three-pumped.lone-worker.total", "90 s"),
        # Clean air, 20.9 % oxygen: 1 / 0.209 = 4.785, up.
        ("oxygen.displaced-by-1", "4.8 %vol"),
        # The site's own choice replaces IEC's 10.9.
        ("gas.propane.uel", "9.5 %vol"),
        # 1.7 %vol is 17 000 ppm.
        ("gas.propane.lel.ppm", "17\u202f000 ppm"),
        # NIOSH Pocket Guide 2005, p. 170: hydrogen sulfide C 10 ppm.
        ("setpoint.pit.hydrogen-sulfide.high.protects", "10 ppm"),
        # From 5 ppm to that limit; 19.45 %vol is set as 19.5, the edge of 29 CFR 1910.146; the vapour alarm at
        # 50 ppm sounds at 50 x 0.5 = 25 ppm of toluene, of the 100 ppm TWA of the NIOSH Pocket Guide.
        ("setpoint.pit.hydrogen-sulfide.low.margin", "5.00 ppm"),
        ("setpoint.pit.oxygen.low.margin", "0 %vol"),
        ("setpoint.store.vapour.low.margin", "75.0 ppm"),
    ],
)
def test_prints(key, printed, ledger):
    assert ledger[key].printed.replace(NBSP, " ") == printed


def test_hydrogen_sulfide_in_mass_agrees_with_chemicals(ledger):
    """NIOSH prints 15 mg/m3 for C 10 ppm, its own rounding; chemicals gives 13.93, and a limit is rounded down."""
    other = ppmv_to_mgm3(10, MW=molecular_weight({"H": 2, "S": 1}), T=298.15, P=101325)
    found = ledger["gas.hydrogen-sulfide.limit.niosh.ceiling.mg-m3"]
    assert float(found.exact) == pytest.approx(other, rel=2e-4)
    assert found.printed == f"13.9{NBSP}mg/m³"


@pytest.mark.parametrize(
    ("gas", "atoms"), [("methane", {"C": 1, "H": 4}), ("toluene", {"C": 7, "H": 8}), ("propane", {"C": 3, "H": 8})]
)
def test_molar_masses_agree_with_chemicals(gas, atoms, ledger):
    assert float(ledger[f"gas.{gas}.molar-mass"].exact) == pytest.approx(molecular_weight(atoms), rel=1e-4)


def test_a_limit_in_mass_follows_the_reference_temperature_not_the_air_of_the_site(ledger, ledger_after):
    """EH40 uses 20 °C where OSHA and NIOSH use 25 °C; the weather at the site changes neither."""
    key = "gas.hydrogen-sulfide.limit.niosh.ceiling.mg-m3"
    other = ledger_after(("site.yaml", "reference-temperature: 25 °C", "reference-temperature: 20 °C"))
    weight = molecular_weight({"H": 2, "S": 1})
    assert float(other[key].exact) == pytest.approx(ppmv_to_mgm3(10, MW=weight, T=293.15, P=101325), rel=2e-4)
    assert other["gas.methane.lel.g-m3"].exact == ledger["gas.methane.lel.g-m3"].exact


def test_on_the_other_basis_the_same_bottle_is_another_share(ledger_after):
    """NFPA 497-2008 prints methane 5 %vol: 2.2 / 5 = 44 %LEL."""
    other = ledger_after(("site.yaml", "lel: iec-60079-20-1-2010", "lel: nfpa-497-2008"))
    assert other["cylinder.c-1.methane.lel"].printed == f"44.0{NBSP}%LEL"
    assert other["window.c-1.cat.bump.expected"].printed == f"44{NBSP}%LEL"


def test_a_gas_the_basis_does_not_print_has_no_limit_from_the_other_table(ledger_after):
    other = ledger_after(("site.yaml", "lel: iec-60079-20-1-2010", "lel: nfpa-497-2008"))
    assert other.get("gas.isobutylene.lel.iec-60079-20-1-2010") is not None
    assert other.get("gas.isobutylene.lel") is None


def test_at_altitude_the_air_is_that_of_the_standard_atmosphere(ledger_after):
    """fluids 1.3, ATMOSPHERE_1976(120).P = 99891.7 Pa; less air outside, so a bottle holds a little more of it:
    (34 - 1.7) x 1.6 / 0.998917 = 51.7 L, 103.5 tests."""
    other = ledger_after(
        ("site.yaml", "  pressure: 101.325 kPa\n  temperature: 20", "  altitude: 120 m\n  temperature: 20")
    )
    assert float(other["site.pressure"].exact) == pytest.approx(99.8917, rel=1e-4)
    assert other["cylinder.c-1.tests-left"].text == "103"


def test_a_corrected_reading_above_the_limit_says_only_that(ledger_after):
    """60 x 1.9 = 114 %LEL, which no display can mean."""
    other = ledger_after(("site.yaml", "10 %LEL]", "60 %LEL]"))
    assert other["reading.pit.propane.at-60"].printed == f"over 100{NBSP}%LEL"


def test_a_finer_display_is_set_closer_to_the_limit(ledger_after):
    """By hand: 5.26 is 5.2 on a 0.1 % display; applied back, 5.2 x 1.9 = 9.88, up to 9.9."""
    other = ledger_after(
        ("models.yaml", "full-scale: 100 %LEL, resolution: 1 %LEL", "full-scale: 100 %LEL, resolution: 0.1 %LEL")
    )
    assert other["setpoint.pit.flammable.high"].printed == f"5.2{NBSP}%LEL"
    assert other["setpoint.pit.propane.high.true"].printed == f"9.9{NBSP}%LEL"


def test_the_display_of_a_gas_that_is_no_hazard_here_is_left_alone(ledger_after):
    """Toluene has the factor 2.6 but is no hazard of the pit; as one, 10 / 2.6 = 3.8, down to 3."""
    other = ledger_after(("areas.yaml", "{gas: propane, why: bottles near the lid}", "{gas: toluene, why: thinner}"))
    assert other["setpoint.pit.flammable.high"].printed == f"3{NBSP}%LEL"


@each(
    ("key", "day"),
    [
        # Six months from 24 November, when records show it; the inventory says 31 August.
        ("unit.d-001.calibration.due", date(2027, 5, 24)),
        ("document.review-due", date(2027, 2, 28)),
        # One month from 31 January 2026.
        ("procedure.bump.review-due", date(2026, 2, 28)),
        # Two weeks from 20 November.
        ("unit.d-001.look.due", date(2026, 12, 4)),
        # Before each day's use: it holds for the day it was done.
        ("unit.d-001.bump.due", date(2026, 11, 24)),
        # Twelve months from the day the revision took effect.
        ("card.pit-entrant.valid-until", date(2027, 10, 1)),
        ("cylinder.c-1.expires", date(2027, 3, 31)),
        ("handbook.as-of", date(2026, 11, 25)),
    ],
)
def test_falls_due(key, day, ledger):
    assert ledger.day(key) == day


@pytest.mark.parametrize(
    ("last", "interval", "day"),
    [
        ("2027-08-31", "6 months", date(2028, 2, 29)),
        ("2028-02-29", "1 year", date(2029, 2, 28)),
        ("2028-02-29", "4 years", date(2032, 2, 29)),
        ("2026-12-31", "1 day", date(2027, 1, 1)),
        ("2026-05-31", "1 month", date(2026, 6, 30)),
        ("2026-02-28", "1 month", date(2026, 3, 28)),
    ],
)
def test_a_month_that_is_shorter_ends_on_its_last_day(last, interval, day, ledger_after):
    """Common practice, no source: monthly from the 31st goes to the month's last day; leap years as in the calendar."""
    other = ledger_after(
        ("inventory.yaml", "calibration: 2026-08-31", f"calibration: {last}"),
        ("checks.yaml", "interval: 6 months", f"interval: {interval}"),
        records=False,
    )
    assert other.day("unit.d-001.calibration.due") == day


def test_a_date_is_printed_so_that_no_reader_can_turn_it_round(ledger):
    assert ledger["unit.d-001.calibration.due"].text == f"24{NBSP}May{NBSP}2027"


def test_a_window_is_rounded_inward(ledger_after):
    """13 % of 25 ppm is 3.25: 21.75 to 28.25, which a display in steps of 0.5 shows as 22.0 to 28.0 and no wider."""
    other = ledger_after(("checks.yaml", "{absolute: 2 ppm, relative: 10 %}", "{absolute: 2 ppm, relative: 13 %}"))
    assert other["window.c-1.h2s.bump.from"].printed == f"22.0{NBSP}ppm"
    assert other["window.c-1.h2s.bump.to"].printed == f"28.0{NBSP}ppm"
