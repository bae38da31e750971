"""What the trade does everywhere, found again in the demo: common practice, no source."""

from __future__ import annotations


def test_a_mixed_cylinder_holds_18_percent_oxygen_and_half_the_explosive_limit(demo):
    """Common practice, no source: 18 %vol oxygen, so that the low oxygen alarm trips too, and 50 %LEL methane."""
    ledger = demo.built.composed.judged.ledger
    assert ledger["cylinder.c-101.oxygen"].printed.replace("\u00a0", " ") == "18 %vol"
    assert ledger["cylinder.c-101.methane.lel"].exact == 50


def test_a_fresh_air_zero_takes_a_minute(demo):
    """Common practice, no source: 60 s in clean air."""
    ledger = demo.built.composed.judged.ledger
    checks = demo.built.composed.judged.program.checks.values()
    zero = next(check for check in checks if check.kind == "zero")
    assert ledger[f"check.{zero.id}.gas-time"].exact == 60


def test_the_lone_worker_alarm_warns_half_a_minute_before_it_is_full(demo):
    """Common practice, no source: a 30 s warning; the full alarm comes after both timers."""
    ledger = demo.built.composed.judged.ledger
    warned = [figure for figure in ledger if figure.key.endswith(".lone-worker.warning")]
    assert warned
    for figure in warned:
        still = ledger[figure.key.replace("warning", "motionless")]
        assert figure.exact == 30
        assert ledger[figure.key.replace("warning", "total")].exact == still.exact + 30
