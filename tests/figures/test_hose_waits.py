"""Waits through the demo's hoses, by hand: 3 s a metre (HSE alert CEMHD1-2020 as reported), then trap, then T90."""

from __future__ import annotations

import pytest

from tests.conftest import DAY, DEMO
from tests.each import each
from tests.shared import judged_once


@pytest.fixture(name="plan", scope="module")
def _plan():
    return judged_once(DEMO, DAY).ledger


@each(
    ("key", "seconds"),
    [
        # 20 mL at 0.5 L/min are 2.4 s; 15 m are 45 s; the slowest sensor takes 30 s: 77.4 s, up
        ("model.five-ir-pumped.trap-delay", 3),
        ("hose.digester-inside.five-ir-pumped.wait", 78),
        # 12 mL at 0.5 L/min are 1.44 s; 10 m are 30 s; 25 s: 56.44 s, up
        ("hose.wet-well.four-pumped.wait", 57),
        # gas of 60 s and alarms within 45 s, each after 45 s through the hose
        ("hose.digester-inside.five-ir-pumped.bump-test.gas-time", 105),
        ("hose.digester-inside.five-ir-pumped.bump-test.alarms-within", 90),
    ],
)
def test_seconds(plan, key, seconds):
    assert plan[key].rounded == seconds
