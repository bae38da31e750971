"""Points of charts against published formulas, and every plotted key a figure."""

from __future__ import annotations

from fractions import Fraction

import pytest
from chemicals import ppmv_to_mgm3
from chemicals.elements import molecular_weight, simple_formula_parser

from builder.pages.blocks import Chart
from builder.pages.charts.limits import area_ladder, ladder, time_charts
from builder.pages.charts.readings import displacement_chart, reading_charts
from builder.pages.compositions import figures_in
from builder.pages.translator import Translator


@pytest.fixture(params=["demo_site", "small_site"])
def site(request):
    return request.getfixturevalue(request.param)


def charts_of(site) -> list[Chart]:
    program, ledger = site.program, site.ledger
    found = [displacement_chart(ledger)]
    for area in program.areas.values():
        found += reading_charts(Translator(program=program), ledger, area)
        found.append(area_ladder(program, ledger, area))
    for gas in program.gases.values():
        found.append(ladder(program, ledger, gas))
        found += time_charts(ledger, gas)
    return [chart for chart in found if chart]


def test_the_ladder_of_an_area_has_its_alarms_and_what_is_dangerous_to_life(demo_site):
    """Dangerous to life: NIOSH Pocket Guide, hydrogen sulfide 100 ppm, carbon monoxide 1200 ppm; alarms as content."""
    found = area_ladder(demo_site.program, demo_site.ledger, demo_site.program.areas["wet-well"])
    told = {mark.label: (demo_site.ledger[mark.key].rounded, mark.kind) for mark in found.marks}
    assert told["Hydrogen sulfide, dangerous to life"] == (100, "fire")
    assert told["Carbon monoxide, dangerous to life"] == (1200, "fire")
    assert told["Hydrogen sulfide, 1st alarm"] == (5, "alarm")
    assert not [label for label in told if label.startswith(("Oxygen", "Flammable", "Methane"))]


def test_every_plotted_key_is_a_figure_and_every_chart_can_be_drawn(site, drawn):
    charts = charts_of(site)
    assert len(charts) > 3
    for chart in charts:
        keys = list(figures_in(chart))
        assert keys
        assert [key for key in keys if key not in site.ledger.figures] == []
        assert drawn(chart, site.ledger.figures).all("text", "label")


def test_the_pages_print_every_plotted_figure(demo):
    assert demo.built is not None
    page = (demo.out / "gases" / "hydrogen-sulfide.html").read_text(encoding="utf-8")
    assert page.count("<svg ") == 1, "its ladder; no line that a table tells as well"
    assert 'aria-labelledby="chart-1-title chart-1-desc"' in page
    assert "style=" not in page


def test_time_to_a_full_shift_alarm_fills_the_eight_hour_average(demo_site):
    """29 CFR 1910.1000(d)(1)(i): E = (Ca Ta + Cb Tb + ...) / 8; alone at C for t hours, E = C t / 8."""
    ledger = demo_site.ledger
    found = [one for one in ledger.under("chart") if ".to-twa." in one.key]
    assert len(found) > 10
    for one in found:
        concentration, setpoint = (ledger[part.figure].rounded for part in one.inputs[:2])
        assert concentration * one.exact / 8 == setpoint
        assert one.rounded <= one.exact


def test_time_to_a_short_term_alarm_fills_the_fifteen_minute_average(demo_site):
    ledger = demo_site.ledger
    found = [one for one in ledger.under("chart") if ".to-stel." in one.key]
    assert len(found) > 5
    for one in found:
        concentration, setpoint = (ledger[part.figure].rounded for part in one.inputs[:2])
        assert concentration * one.exact / 15 == setpoint
        assert concentration >= setpoint
        assert one.rounded <= one.exact


def test_the_worked_times_of_one_alarm(demo_site):
    # Carbon monoxide alarm of 17 ppm over 8 h: 8 x 17 / 10 = 13.6 h; 8 x 17 / 50 = 2.72 h; 8 x 17 / 200 = 0.68 h, down.
    key = "chart.wet-well.carbon-monoxide.to-twa.at-{}-ppm"
    assert demo_site.ledger["setpoint.wet-well.carbon-monoxide.twa"].text == "17"
    assert [demo_site.ledger[key.format(n)].text for n in (10, 17, 50, 200)] == ["13", "8.0", "2.7", "0.68"]
    # NIOSH Pocket Guide, carbon monoxide: never above 200 ppm
    assert key.format(500) not in demo_site.ledger


def test_no_curve_runs_on_above_a_ceiling_or_where_the_air_is_at_once_dangerous_to_life(demo_site):
    ledger = demo_site.ledger
    for one in ledger.under("chart"):
        parts = one.key.split(".")
        if len(parts) > 3 and parts[3].startswith("to-"):
            start = f"gas.{parts[2]}.limit."
            never = [
                f for f in ledger.under("gas") if f.key.startswith(start) and f.key.endswith((".ceiling", ".idlh"))
            ]
            assert never
            assert all(ledger[one.inputs[0].figure].rounded <= limit.rounded for limit in never)


def test_oxygen_left_is_what_the_other_gas_has_not_displaced(demo_site):
    """Clean air has 20.9 % oxygen; of it the part (100 - n) / 100 is left."""
    found = list(demo_site.ledger.under("oxygen.after"))
    assert [one.key.rpartition(".")[2] for one in found][:3] == ["0", "5", "10"]
    for one in found:
        assert one.exact == Fraction("20.9") * (100 - int(one.key.rpartition(".")[2])) / 100
    # 20.9 x 0.95 = 19.855 and 20.9 x 0.9 = 18.81, both down
    assert [one.text for one in found][:3] == ["20.9", "19.8", "18.8"]


@pytest.mark.parametrize(("gas", "formula"), [("hydrogen-sulfide", "H2S"), ("toluene", "C7H8"), ("ammonia", "H3N")])
def test_mass_agrees_with_chemicals_at_25_degrees(demo_site, gas, formula):
    weight = molecular_weight(simple_formula_parser(formula))
    for ppm in (50, 100):
        found = demo_site.ledger[f"chart.{gas}.mg-m3.at-{ppm}-ppm"]
        assert float(found.exact) == pytest.approx(ppmv_to_mgm3(ppm, MW=weight, T=298.15, P=101325), rel=2e-4)


def test_volume_of_a_share_of_the_explosive_limit(demo_site):
    # IEC 60079-20-1:2010 prints methane 4.4 %vol: 20 % of it is 0.88.
    assert demo_site.ledger["chart.methane.vol.at-20-lel"].text == "0.880"
    assert demo_site.ledger["chart.methane.vol.at-100-lel"].text == "4.40"


def test_charts_keep_the_number_of_figures_moderate(demo_site):
    made = [one for one in demo_site.ledger if one.key.startswith(("chart.", "oxygen.after."))]
    assert 100 < len(made) < 600


def test_a_ladder_has_limits_alarms_and_the_explosive_limit(demo_site):
    chart = ladder(demo_site.program, demo_site.ledger, demo_site.program.gases["carbon-monoxide"])
    assert {mark.kind for mark in chart.marks} == {"limit", "alarm", "fire"}
    keys = [mark.key for mark in chart.marks]
    assert "gas.carbon-monoxide.limit.niosh.idlh" in keys
    assert "gas.carbon-monoxide.lel.ppm" in keys
    assert len(keys) == len(set(keys))


def test_oxygen_is_no_poison_and_has_no_ladder(demo_site):
    assert ladder(demo_site.program, demo_site.ledger, demo_site.program.gases["oxygen"]) is None
