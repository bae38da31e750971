"""What must be bought in 24 months, counted by hand from dates, lives and intervals."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise

import pytest

from builder.base.errors import ContentError
from builder.figures.compute import compute
from builder.figures.forecast import forecast
from builder.pages.tables import forecast_rows, money

AS_OF = date(2026, 11, 25)
HEAD = "unit,time,kind,cylinder,result\n"


@pytest.fixture(name="asked")
def _asked(program_with):
    return lambda *changes: compute(program_with(*changes), AS_OF)


def sensors(*lines):
    return ("inventory.yaml", "    cylinder: c-1", "    sensors: [" + ", ".join(lines) + "]\n    cylinder: c-1")


def days_of(computed, kind, thing):
    return [need.day for need in forecast(computed).needs if (need.kind, need.thing) == (kind, thing)]


def test_a_sensor_comes_to_its_end_once_its_life_is_over_and_one_behind_is_needed_at_once(asked):
    # lives of the site: bead 36 months, oxygen cell 24 months
    computed = asked(sensors("{sensor: bead, fitted: 2024-03-31}", "{sensor: oxygen-cell, fitted: 2023-01-10}"))
    assert days_of(computed, "sensor", "bead") == [date(2027, 3, 31)]
    assert days_of(computed, "sensor", "oxygen-cell") == [AS_OF, date(2028, 11, 25)]  # and again after its life
    assert not days_of(computed, "sensor", "lamp")


def test_what_has_no_day_is_told_as_not_known_with_how_many_there_are(asked):
    unknown = forecast(asked(sensors("{sensor: bead, fitted: 2024-03-31}"))).unknown
    assert "when Oxygen cell was fitted (2)" in unknown  # of both units
    assert not [text for text in unknown if text.startswith("when Bead")]


def test_a_battery_by_the_life_of_its_model(asked):
    own = "battery: {runtime: 14 h%s}\n    log"  # the other model keeps no log
    life = ("models.yaml", own % "", own % ", life: 12 months")
    computed = asked(life, ("inventory.yaml", "    cylinder: c-1", "    battery: 2026-01-15\n    cylinder: c-1"))
    assert days_of(computed, "battery", "pumped") == [date(2027, 1, 15), date(2028, 1, 15)]


def test_gas_is_counted_by_use_and_last_day(asked):
    # 28 tests in 28 days are one a day; c-1 holds (34 - 1.7) bar x 1.6 L or a little less at 101 kPa: 51 L, of which a
    # test of 90 s at 0.5 L/min takes 0.75 L: 68 tests, so one in 68 days, and 24 months are 731 days
    rows = "".join(f"d-1,{AS_OF - timedelta(days=n)}T06:00Z,bump-test,c-1,pass\n" for n in range(28))
    computed = asked(("records/r.csv", "", HEAD + rows), ("site.yaml", "shift:", "gas-lead-time: 10 days\nshift:"))
    days = days_of(computed, "cylinder", "c-1")
    assert len(days) == 731 // 68
    assert [later - earlier for earlier, later in pairwise(days)] == [timedelta(days=68)] * 9
    first = next(need for need in forecast(computed).needs if need.thing == "c-1")
    assert first.day - first.order_by == timedelta(days=10)
    assert days_of(computed, "cylinder", "c-2") == [date(2027, 6, 30)]  # not used: its last day alone
    assert [text for text in forecast(computed).unknown if "c-2" in text]


def test_the_table_has_a_price_and_a_cost_only_where_the_site_gives_one(asked):
    prices = ("prices.yaml", "", "currency: USD\neach: {bead: 96.5}\n")
    computed = asked(prices, sensors("{sensor: bead, fitted: 2024-03-31}", "{sensor: oxygen-cell, fitted: 2025-01-10}"))
    rows = {cells[5]: cells for cells in forecast_rows(computed)}
    assert rows["bead"][2:6] == ("31 Mar 2027", "2027-03-31", "sensor", "bead")
    assert rows["bead"][-4:] == ("1", "96.50", "96.50", "USD")
    assert rows["oxygen-cell"][-3:] == ("", "", "")
    assert Counter(cells[4] for cells in rows.values())["sensor"] == 2


def test_a_price_of_what_the_site_has_not_is_refused(asked):
    with pytest.raises(ContentError, match="a price for 'beads'; allowed: the id of a sensor, a part or a cylinder"):
        asked(("prices.yaml", "", "currency: USD\neach: {beads: 96.5}\n"))


def test_money_is_never_rounded_down():
    assert [money(Fraction(text)) for text in ("96.5", "1/3", "7")] == ["96.50", "0.34", "7.00"]
