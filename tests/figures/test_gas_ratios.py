"""How strong the demo's gas is beside its alarms, against the bounds that published guidance gives."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.conftest import DAY, DEMO
from tests.shared import judged_once

RISING = (Fraction("1.2"), Fraction(2))
FALLING = (Fraction("0.9"), Fraction(1))
"""BG RCI FAQ 2.9: gas of 1.2 to 2.0 times the highest alarm; oxygen from 0.9 to below 1 times the lowest."""


@pytest.fixture(name="plan", scope="module")
def _plan():
    return judged_once(DEMO, DAY).ledger


def ratios(plan, alarm):
    return {key: plan[key].exact for key in plan.figures if key.startswith("bump.") and key.endswith(f".{alarm}.ratio")}


def test_oxygen_gas_lies_a_little_below_the_alarm(plan):
    found = {key: ratio for key, ratio in ratios(plan, "low").items() if "c-115" not in key}
    assert found
    assert all(FALLING[0] <= ratio < FALLING[1] for ratio in found.values()), found


def test_toxic_gas_lies_well_above_the_highest_alarm(plan):
    flammable = ("cat-flammable", "cat-propane", "ir-flammable", "o2-cell")
    found = {key: ratio for key, ratio in ratios(plan, "high").items() if key.split(".")[2] not in flammable}
    assert found
    assert all(RISING[0] <= ratio <= RISING[1] for ratio in found.values()), found


def test_only_the_rich_cylinder_proves_the_alarm_for_too_much_oxygen(plan):
    # the definition of a bump test: gas sets off the alarm; by hand, 24.5 / 23.0 = 1.065
    oxygen = {key.split(".")[1]: ratio for key, ratio in ratios(plan, "high").items() if ".o2-cell." in key}
    assert {cylinder for cylinder, ratio in oxygen.items() if ratio > 1} == {"c-115"}
    assert plan["bump.c-115.o2-cell.high.ratio"].text == "1.06"
