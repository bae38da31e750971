"""Cards against the alarms that may sound where they are carried."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.figures.compute import compute
from builder.findings.rules.alarm_actions import alarm_not_on_card
from tests.conftest import DAY, DEMO, MINIMAL
from tests.edited import edited
from tests.shared import computed_with

CARD = "cards/pit-entrant.yaml"
BLOCK = "block: alarm-actions, channels: [oxygen, flammable]"
ENTRANT = "audience: entrant"
MODEL = "model: two-pumped\n"
OXYGEN = """  - areas: [pit]
    channel: oxygen
    reason: The edges of the entry rule.
    low: {set: 19.5 %vol, action: Out now.}
    high: {set: 23.0 %vol, action: No flame. Out now.}
"""


@pytest.fixture
def told(tmp_path):
    """Findings of the rule on the smallest site, after changes of text that each match exactly once."""

    def judge(*changes):
        return list(alarm_not_on_card.ask(compute(edited(MINIMAL, tmp_path, *changes), DAY)))

    return judge


def only(channel: str) -> tuple[str, str, str]:
    """The card tells of the alarms of one channel alone."""
    return CARD, BLOCK, f"block: alarm-actions, channels: [{channel}]"


@pytest.mark.parametrize(
    ("changes", "lacking"),
    [
        ((), None),
        ((only("oxygen"),), "flammable"),
        ((only("flammable"),), "oxygen"),
        (((CARD, BLOCK, "block: limits, channels: [oxygen, flammable]"),), "oxygen or flammable"),
        (((CARD, BLOCK, "block: alarm-actions"),), None),  # prints all that its detectors measure
        ((only("oxygen"), (CARD, "back:\n", "back:\n  - {block: alarm-actions, channels: [flammable]}\n")), None),
        ((only("oxygen"), (CARD, MODEL, "")), "flammable"),  # any detector that is allowed there
        ((only("flammable"), ("setpoints.yaml", OXYGEN, "")), None),  # no such alarm in the pit
        ((only("oxygen"), (CARD, ENTRANT, "audience: tester")), "flammable"),
        ((only("oxygen"), (CARD, ENTRANT, "audience: hot-work-watch")), "flammable"),
        (
            (only("oxygen"), (CARD, ENTRANT, "audience: rescue")),
            "oxygen or flammable",
        ),  # an entrant's orders are not his
        # stays at the post, 29 CFR 1910.146 (i)(4): an entrant's orders are not his either, and none is asked for
        ((only("oxygen"), (CARD, ENTRANT, "audience: attendant")), "oxygen"),
        (((CARD, BLOCK, "block: limits"), (CARD, ENTRANT, "audience: attendant")), None),
        ((only("oxygen"), (CARD, ENTRANT, "audience: calibrator")), None),
    ],
)
def test_every_alarm_that_may_sound_is_on_the_card(told, changes, lacking):
    """Common practice, no source: who carries a detector knows what each of its alarms asks for."""
    findings = told(*changes)
    assert [(one.severity.value, one.subject, one.where.file) for one in findings] == (
        [("warn", "card:pit-entrant", CARD)] if lacking else []
    )
    assert all(f"an alarm of the {lacking} channel may sound" in one.message for one in findings)


@pytest.mark.parametrize(
    ("model", "lacking"),
    [("four-diffusion", "ammonia"), ("ammonia-single", "oxygen or flammable or hydrogen-sulfide or carbon-monoxide")],
)
def test_what_is_carried_together_sounds_together(tmp_path, model, lacking):
    """Whoever goes to the sludge dryer carries a four-gas unit and one for ammonia, and reads one card."""
    card = "cards/sludge-dryer-entrant.yaml"
    one = (card, "area: sludge-dryer\n", f"area: sludge-dryer\nmodel: {model}\n")
    assert [f.message for f in alarm_not_on_card.ask(compute(edited(DEMO, tmp_path / "a"), DAY))] == []
    [found] = alarm_not_on_card.ask(compute(edited(DEMO, tmp_path / "b", one), DAY))
    assert f"an alarm of the {lacking} channel may sound" in found.message


def test_an_averaged_alarm_counts_as_an_alarm_of_its_channel(tmp_path):
    """It sounds as well, though hours later."""
    program = edited(MINIMAL, tmp_path, only("flammable"))
    averaged = tuple(
        replace(entry, alarms={"twa": replace(entry.alarms["low"], name="twa")}) for entry in program.setpoints
    )
    ledger = compute(program, DAY).ledger
    [one] = alarm_not_on_card.ask(computed_with(replace(program, setpoints=averaged), ledger))
    assert "an alarm of the oxygen channel may sound" in one.message
