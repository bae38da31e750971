"""Oxygen, mixtures, long shifts, disturbing gases, liquids, factors, spans: sums done by hand stand beside each."""

from __future__ import annotations

from fractions import Fraction

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from builder.base.errors import ContentError
from builder.base.quantity import magnitude

SITE, AREAS, SENSORS, GASES, MODELS = "site.yaml", "areas.yaml", "sensors.yaml", "gases.yaml", "models.yaml"
AIR = "  temperature: 20 °C"
HIGH = (SITE, f"  pressure: 101.325 kPa\n{AIR}", f"  altitude: 1000 m\n{AIR}\n  humidity: 50 %")
LONG = (SITE, "shift: 8 h\n", "shift: 12 h\nlong-shift: brief-scala\n")
PIT = "      - {gas: oxygen, risk: both, why: still air}\n"
STORE = "      - {gas: toluene, why: paint thinner}\n"
CAT = "      table: {propane: 1.9, toluene: 2.6}\n"


def mixed(parts: str) -> tuple[str, str, str]:
    return AREAS, PIT, f"{PIT}    mixtures:\n      - {{id: both, name: Both, parts: {{{parts}}}}}\n"


def exact(ledger, key: str, unit: str = "") -> float:
    figure = ledger[key]
    return float(magnitude(figure.amount, unit or figure.unit))


# ---- oxygen at the height of the site


def test_oxygen_is_thinner_up_here(ledger_after):
    ledger = ledger_after(HIGH)
    pressure = ATMOSPHERE_1976(1000.1573).P / 1000  # fluids takes the map height; 1000 m geopotential is 1000.157 m
    for level in ("19.5", "20.9", "23.5"):
        key = f"oxygen.site.at-{level.replace('.', '-')}"
        share = float(level) / 100
        assert exact(ledger, f"{key}.partial-pressure", "kPa") == pytest.approx(share * pressure, rel=1e-5)
        assert exact(ledger, f"{key}.sea-level", "%vol") == pytest.approx(100 * share * pressure / 101.325, rel=1e-5)
    # steam tables: 2.339 kPa over water at 20 °C (from memory), so half of it at 50 %
    assert exact(ledger, "oxygen.site.water-vapour-saturated", "kPa") == pytest.approx(2.339, rel=5e-3)
    humid = 0.195 * (pressure - 2.339 / 2)
    assert exact(ledger, "oxygen.site.at-19-5.partial-pressure-humid", "kPa") == pytest.approx(humid, rel=1e-3)
    assert not ledger["oxygen.site.at-19-5.partial-pressure-humid"].read


def test_oxygen_is_rounded_to_the_side_of_its_risk(ledger_after):
    ledger = ledger_after(HIGH)
    assert ledger["oxygen.site.at-19-5.sea-level"].rounded <= ledger["oxygen.site.at-19-5.sea-level"].exact
    assert ledger["oxygen.site.at-23-5.sea-level"].rounded >= ledger["oxygen.site.at-23-5.sea-level"].exact


def test_without_humidity_only_the_two_ends_are_given(ledger):
    assert "oxygen.site.at-19-5.partial-pressure-saturated" in ledger
    assert "oxygen.site.at-19-5.partial-pressure-humid" not in ledger
    assert ledger["oxygen.site.at-20-9.sea-level"].printed == "20.9\u00a0%vol"


# ---- mixtures


def test_a_mixture_of_two_vapours(ledger_after):
    ledger = ledger_after(mixed("methane: 50 %, propane: 50 %"))
    # IEC 60079-20-1:2010: methane 4.4, propane 1.7 %vol. 100 / (50/4.4 + 50/1.7) = 100 / 40.775 = 2.4525
    assert ledger["mixture.pit.both.lel"].printed == "2.45\u00a0%vol"
    # shares of the strength: 11.364 / 40.775 = 0.27869 and 0.72131; 1 / (0.27869/1 + 0.72131/1.9) = 1.5192
    assert ledger["mixture.pit.both.flammable.factor"].printed == "1.52"
    # 10 × 1.5192 = 15.2, up to the step of 1 %LEL
    assert ledger["mixture.pit.both.at-10"].printed == "16\u00a0%LEL"
    assert not ledger["mixture.pit.both.flammable.factor"].read
    assert "mixture.pit.both.vapour.factor" not in ledger


def test_a_mixture_of_ranges_is_taken_at_its_worst(ledger_after):
    ledger = ledger_after(mixed("methane: {from: 30 %, to: 80 %}, propane: {from: 20 %, to: 60 %}"))
    # IEC 60079-20-1:2010: methane 4.4, propane 1.7 %vol. Most propane burns first: 40 and 60 %, 100 / (40/4.4 + 60/1.7)
    parts = [ledger[f"mixture.pit.both.{gas}.part"].printed for gas in ("methane", "propane")]
    assert parts == ["40.0\u00a0%", "60.0\u00a0%"]
    assert exact(ledger, "mixture.pit.both.lel") == pytest.approx(100 / (40 / 4.4 + 60 / 1.7))
    # the same end has the largest factor: strengths 9.0909 and 35.294; 44.385 / (9.0909 + 35.294 / 1.9)
    factor = 44.3850 / (9.09091 + 35.2941 / 1.9)
    assert exact(ledger, "mixture.pit.both.flammable.factor") == pytest.approx(factor, 1e-5)
    assert [ledger[f"mixture.pit.both.propane.{end}"].printed for end in ("from", "to")] == ["20\u00a0%", "60\u00a0%"]


def test_an_inert_part_dilutes(ledger_after):
    nitrogen = (GASES, "  - id: toluene\n", "  - id: toluene\n  - id: nitrogen\n")
    ledger = ledger_after(nitrogen, mixed("methane: 60 %, nitrogen: 40 %"))
    # 100 / (60 / 4.4) = 7.333
    assert ledger["mixture.pit.both.lel"].printed == "7.33\u00a0%vol"
    assert ledger["mixture.pit.both.flammable.factor"].exact == 1


@pytest.mark.parametrize(("other", "doubted"), [("hydrogen-sulfide", True), ("propane", False)])
def test_a_mixture_says_where_the_rule_is_known_to_fail(ledger_after, other, doubted):
    # Coward and Jones, US Bureau of Mines Bulletin 503 (1952), list exceptions to Le Chatelier's rule; from memory
    note = ledger_after(mixed(f"methane: 90 %, {other}: 10 %"))["mixture.pit.both.lel"].note
    assert ("the true limit can lie below it, because of Sour gas" in note) is doubted


def test_a_mixture_too_diluted_to_burn_has_no_limit(ledger_after):
    nitrogen = (GASES, "  - id: toluene\n", "  - id: toluene\n  - id: nitrogen\n")
    ledger = ledger_after(nitrogen, mixed("methane: 4 %, nitrogen: 96 %"))
    assert "mixture.pit.both.lel" not in ledger


def test_a_part_that_no_sensor_knows_makes_the_factor_larger(ledger_after):
    ledger = ledger_after(mixed("methane: 50 %, toluene: 50 %"), (SENSORS, CAT, "      table: {propane: 1.9}\n"))
    # toluene 1.0 %vol: strengths 50/4.4 and 50/1.0; methane alone is seen: 1 / (11.364 / 61.364) = 5.4
    assert exact(ledger, "mixture.pit.both.flammable.factor") == pytest.approx(5.4)


def test_a_vapour_mixture_on_a_lamp_and_its_limit(ledger_after):
    lamp = (SENSORS, "      table: {toluene: 0.5}\n", "      table: {toluene: 0.5, isobutylene: 1}\n")
    mixture = "    mixtures:\n      - {id: paint, name: Paint, parts: {toluene: 60 %, isobutylene: 40 %}}\n"
    ledger = ledger_after(lamp, (AREAS, STORE, STORE + mixture))
    # 1 / (0.6/0.5 + 0.4/1) = 0.625
    assert exact(ledger, "mixture.store.paint.vapour.factor") == pytest.approx(0.625)
    # isobutylene has no limit in either list, so there is no additive one
    assert "mixture.store.paint.equivalent-limit" not in ledger


def test_the_additive_limit_is_that_of_the_strictest_list_with_every_value(ledger_after):
    ledger = ledger_after(mixed("propane: 50 %, toluene: 50 %"))
    # 29 CFR 1910.1000 Tables Z-1, Z-2: propane 1000, toluene 200 ppm; 1 / (0.5/1000 + 0.5/200) = 333.3, down
    figure = ledger["mixture.pit.both.equivalent-limit.osha"]
    assert (figure.printed, figure.exact) == ("333\u00a0ppm", Fraction(1000, 3))
    # NIOSH Pocket Guide: propane 1000, toluene 100 ppm; 1 / (0.5/1000 + 0.5/100) = 181.8, down
    strictest = ledger["mixture.pit.both.equivalent-limit"]
    assert (strictest.printed, strictest.exact) == ("181\u00a0ppm", Fraction(2000, 11))


# ---- long shifts


def test_a_long_shift_lowers_the_average_and_decides_nothing(ledger_after):
    ledger = ledger_after(LONG)
    # Brief and Scala: 12 h give (8/12) × (12/16) = 0.5; toluene 200 ppm in Table Z-2
    assert ledger["site.long-shift-factor"].printed == "0.50"
    figure = ledger["gas.toluene.limit.osha.twa.long-shift"]
    assert (figure.printed, figure.read) == ("100\u00a0ppm", False)


@pytest.mark.parametrize("shift", ["shift: 8 h\nlong-shift: brief-scala\n", "shift: 12 h\n"])
def test_a_usual_shift_or_no_choice_lowers_nothing(ledger_after, shift):
    assert "gas.toluene.limit.osha.twa.long-shift" not in ledger_after((SITE, "shift: 8 h\n", shift))


def test_a_day_of_24_hours_is_refused_at_its_line(ledger_after):
    with pytest.raises(ContentError, match=r"site.yaml:18: working day is 24 h; allowed: at least 8 h and below 24 h"):
        ledger_after((SITE, "shift: 8 h\n", "shift: 24 h\nlong-shift: brief-scala\n"))


# ---- gases that disturb


def crossed(table: str) -> tuple[str, str, str]:
    old = "    calibrated-with: hydrogen-sulfide\n    life: 24 months\n"
    return SENSORS, old, f"{old}    cross-sensitivity: {{source: invented, table: {table}}}\n"


def test_what_a_disturbing_gas_makes_the_sensor_show(ledger_after):
    ledger = ledger_after(crossed("{propane: 0.5 %, methane: -0.01 %}"))
    assert ledger["cross.h2s.propane.coefficient"].printed == "0.5\u00a0%"
    assert ledger["cross.h2s.methane.coefficient"].printed == "−0.01\u00a0%"
    # at the high flammable alarm: what is really there by volume, as printed, times the share
    for gas, share in (("propane", Fraction(1, 200)), ("methane", Fraction(-1, 10000))):
        there = ledger[f"setpoint.pit.{gas}.high.vol"].rounded * 10000
        assert ledger[f"cross.pit.h2s.{gas}.apparent"].exact == there * share
    hidden = ledger["cross.pit.h2s.methane.apparent"]
    assert hidden.rounded <= hidden.exact < 0


def test_a_gas_that_is_no_hazard_there_disturbs_nothing_there(ledger_after):
    ledger = ledger_after(crossed("{toluene: 1 %}"))
    assert "cross.h2s.toluene.coefficient" in ledger
    assert "cross.pit.h2s.toluene.apparent" not in ledger


# ---- liquids and warmth


def test_what_a_liquid_can_reach(ledger):
    # NIOSH Pocket Guide: toluene 21 mmHg at 68 °F (from memory) = 2.80 kPa; 2.80 / 101.325 = 2.76 %vol; LEL 1.0 %vol
    assert exact(ledger, "gas.toluene.vapour-pressure", "mmHg") == pytest.approx(21, rel=0.05)
    assert exact(ledger, "gas.toluene.highest-vapour", "%vol") == pytest.approx(2.76, rel=0.05)
    assert exact(ledger, "gas.toluene.reachable-lel", "%LEL") == pytest.approx(276, rel=0.05)
    assert "gas.methane.vapour-pressure" not in ledger


def test_a_colder_area_has_values_of_its_own(ledger_after):
    ledger = ledger_after((AREAS, STORE, STORE + "    temperature: 0 °C\n"))
    # Antoine constants of toluene (log10 mmHg, °C: 6.95464, 1344.8, 219.482; from memory): 6.7 mmHg at 0 °C
    assert exact(ledger, "area.store.toluene.vapour-pressure", "mmHg") == pytest.approx(6.7, rel=0.05)
    assert ledger["area.store.toluene.reachable-lel"].exact < ledger["gas.toluene.reachable-lel"].exact


def test_outside_the_range_of_the_coefficients_nothing_is_given(ledger_after):
    benzene = (GASES, "  - id: toluene\n", "  - id: toluene\n  - id: benzene\n")
    here = (SITE, "  temperature: 20 °C", "  temperature: 0 °C")
    assert "gas.benzene.vapour-pressure" not in ledger_after(benzene, here)  # it melts at 5.5 °C


def test_warm_gas_burns_at_less(ledger_after):
    ledger = ledger_after((AREAS, "    temperature: 12 °C\n", "    temperature: 45 °C\n"))
    # 4.4 × (1 − 0.000721 × 20) = 4.3366, down; 1.7 × 0.98558 = 1.6755
    assert ledger["gas.methane.lel.at-temperature.pit"].printed == "4.33\u00a0%vol"
    assert ledger["gas.propane.lel.at-temperature.pit"].printed == "1.67\u00a0%vol"
    assert not ledger["gas.methane.lel.at-temperature.pit"].read


@pytest.mark.parametrize("degrees", ["12 °C", "25 °C"])
def test_up_to_room_temperature_the_published_limit_stands(ledger_after, degrees):
    ledger = ledger_after((AREAS, "    temperature: 12 °C\n", f"    temperature: {degrees}\n"))
    assert "gas.methane.lel.at-temperature.pit" not in ledger


def test_the_law_is_for_paraffins_alone(ledger_after):
    ledger = ledger_after((AREAS, STORE, STORE + "    temperature: 45 °C\n"))
    assert "gas.toluene.lel.at-temperature.store" not in ledger


# ---- sampling


def test_down_no_faster_than_the_reading(ledger):
    wait = ledger["hose.pit.three-pumped.wait"].rounded
    # 29 CFR 1910.146 App. B(4): about 4 ft = 1.2192 m ahead, once a wait
    figure = ledger["hose.pit.three-pumped.descent-speed"]
    assert figure.exact == Fraction("1.2192") * 60 / wait
    assert figure.rounded <= figure.exact


def test_a_clinging_substance_is_named_beside_the_wait(ledger_after):
    ledger = ledger_after((GASES, "  - id: propane\n", "  - id: propane\n    clings-to-tubes: true\n"))
    assert "Propane" in ledger["hose.pit.three-pumped.draw-time"].note


def test_flow_block(ledger_after):
    ledger = ledger_after((MODELS, "longest-hose: 30 m}", "longest-hose: 30 m, flow-block: 10 s}"))
    assert ledger["model.three-pumped.flow-block"].printed == "10\u00a0s"


# ---- factors and spans


def test_a_table_relative_to_another_gas_is_rebased(ledger_after):
    old = "      relative-to: methane\n      source: Invented manual\n" + CAT
    new = "      relative-to: toluene\n      source: Invented manual\n      table: {methane: 0.4, propane: 0.7}\n"
    ledger = ledger_after((SENSORS, old, new))
    assert ledger["response.cat.methane.factor"].exact == 1
    assert ledger["response.cat.propane.factor"].exact == Fraction(7, 4)  # 0.7 / 0.4
    assert ledger["response.cat.toluene.factor"].exact == Fraction(5, 2)  # 1 / 0.4
    assert ledger["response.cat.propane.factor-in-table"].text == "0.7"
    assert ledger["response.cat.propane.factor"].formula == "response.rebased-factor"


def test_relative_responses_are_turned_round(ledger_after):
    old = "      convention: multiply-reading\n      relative-to: methane\n      source: Invented manual\n" + CAT
    ledger = ledger_after((SENSORS, old, old.replace("multiply-reading", "relative-response").replace("1.9", "0.3")))
    figure = ledger["response.cat.propane.factor"]
    assert (figure.exact, figure.text) == (Fraction(10, 3), "3.34")  # 1 / 0.3, up


def test_relative_responses_to_another_gas(ledger_after):
    old = "      convention: multiply-reading\n      relative-to: methane\n      source: Invented manual\n" + CAT
    new = old.replace("multiply-reading", "relative-response").replace("relative-to: methane", "relative-to: toluene")
    new = new.replace("{propane: 1.9, toluene: 2.6}", "{methane: 2, propane: 1.25}")
    # responses: methane twice and propane 1.25 times that of toluene, so propane answers 0.625 times as methane does
    assert ledger_after((SENSORS, old, new))["response.cat.propane.factor"].exact == Fraction(8, 5)


def test_span_value_where_another_gas_stands_in(ledger_after):
    old = "    shows: methane\n    calibrated-with: methane\n"
    held = "      - {gas: methane, value: 2.2 %vol,"
    ledger = ledger_after(
        (SENSORS, old, "    shows: methane\n    calibrated-with: propane\n"),
        ("cylinders.yaml", held, held.replace("methane, value: 2.2", "propane, value: 0.85")),
    )
    # 0.85 %vol of propane is 50 %LEL on 1.7 %vol; its factor is 1.9, so methane with propane as reference has 1/1.9:
    # 50 / 1.9 = 26.3, up to 27
    assert ledger["response.cat.methane.on-simulant"].exact == Fraction(10, 19)
    assert ledger["span.c-1.cat.enter"].printed == "27\u00a0%LEL"


def test_no_span_where_the_gas_shown_is_in_the_cylinder(ledger):
    assert not [figure for figure in ledger if figure.key.startswith("span.")]
