"""What is left alone in clean air, to what the display can show, by hand."""

from __future__ import annotations

import pytest

from tests.conftest import DAY, DEMO
from tests.each import each
from tests.shared import judged_once


@pytest.fixture(name="plan", scope="module")
def _plan():
    return judged_once(DEMO, DAY).ledger


@each(
    ("key", "printed"),
    [
        # common practice, no source: 20.9 less and more 0.2; about 400 to 600 ppm outdoors
        ("check.zero.clean-air.oxygen.from", "20.7\u00a0%vol"),
        ("check.zero.clean-air.oxygen.to", "21.1\u00a0%vol"),
        ("check.zero.clean-air.carbon-dioxide.from", "400\u00a0ppm"),
        ("check.zero.clean-air.carbon-dioxide.to", "600\u00a0ppm"),
        ("check.zero.clean-air.flammable.from", "\u22121\u00a0%LEL"),
    ],
)
def test_what_is_left_alone(plan, key, printed):
    assert plan[key].printed == printed
