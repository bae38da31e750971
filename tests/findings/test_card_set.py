"""The cards that a place must have, and what each role's card must carry."""

from __future__ import annotations

from pathlib import Path
from tempfile import mkdtemp

import pytest

from builder.base.errors import ContentError
from builder.figures.compute import compute
from builder.findings.rules.alarm_actions import alarm_not_on_card
from builder.findings.rules.cards import ROLES, card_lacks_block, card_missing
from builder.program.card_blocks import CARD_BLOCKS
from tests.conftest import DAY, MINIMAL
from tests.edited import edited

CARD = "cards/pit-entrant.yaml"
ALARMS = "  - {block: alarm-actions, channels: [oxygen, flammable]}\n"
CALL = "  - {block: contacts}\n"
UNSEEN = "  - {block: not-seen}\n"
"""Asked for since the pit's only detector shows propane, which has exposure limits by %LEL alone."""
DUTIES = "  - {block: duties}\n"
STEPS = "  - {block: before-use, steps: [Look first.]}\n"
WHOLE = f"{DUTIES}{STEPS}{UNSEEN}"
BACK = "back:\n"
MADE_WHOLE = (CARD, BACK, f"{BACK}{WHOLE}")


@pytest.fixture
def site(tmp_path):
    """The smallest site, after changes of text that each match exactly once and with more cards."""

    def read(*changes, cards=None):
        more = [(f"cards/{name}.yaml", "", text) for name, text in (cards or {}).items()]
        return edited(MINIMAL, Path(mkdtemp(dir=tmp_path)), *changes, *more)

    return read


def card(name, audience, blocks):
    head = (
        f"id: {name}\ntitle: {name}\naudience: {audience}\narea: pit\nmodel: two-pumped\nformat: A6\nlanguages: [en]\n"
    )
    return {name: f"{head}front:\n{blocks}"}


def lacks(program):
    return [(one.severity.value, one.subject, one.message) for one in card_lacks_block.ask(compute(program, DAY))]


def missing(program):
    return [one.message for one in card_missing.ask(compute(program, DAY))]


def test_a_confined_space_has_a_card_for_each_role_of_the_rule(site):
    # 29 CFR 1910.146 (h) entrants, (i) attendants, (c)(5)(ii)(C) testing, (k) rescue
    assert missing(site()) == ["Valve pit: no pocket card for attendant, tester, rescue."]
    one = card("post", "attendant", "  - {block: contacts}\n")
    assert missing(site(cards=one)) == ["Valve pit: no pocket card for tester, rescue."]


def test_hot_work_has_a_card_for_its_watch_and_other_work_needs_none(site):
    # 29 CFR 1910.252 (a)(2)(iii): fire watchers
    here = "[confined-space-entry]"
    hot = site(("areas.yaml", f"activities: {here}", "activities: [hot-work]"))
    assert missing(hot) == ["Valve pit: no pocket card for hot-work-watch."]
    assert missing(site(("areas.yaml", f"activities: {here}", "activities: [inspection]"))) == []


@pytest.mark.parametrize(
    ("change", "severity", "told"),
    [
        (None, None, ""),
        ((CARD, ALARMS, ""), "stop", "alarm-actions"),
        ((CARD, CALL, ""), "stop", "contacts"),
        ((CARD, DUTIES, ""), "warn", "duties"),
        ((CARD, STEPS, ""), "warn", "before-use"),
        ((CARD, UNSEEN, ""), "warn", "not-seen"),
    ],
)
def test_an_entrants_card_carries_orders_number_duties_and_steps(site, change, severity, told):
    # 29 CFR 1910.146 (h)(2), (4) and (5)(iv)
    found = lacks(site(MADE_WHOLE, *([change] if change else [])))
    assert [(one[0], one[1]) for one in found] == ([(severity, "card:pit-entrant")] if severity else [])
    assert all(f"lacks {told}" in one[2] for one in found)


def test_orders_that_lack_beside_what_is_less_grave_still_stop(site):
    (found,) = lacks(site(MADE_WHOLE, (CARD, ALARMS, ""), (CARD, DUTIES, "")))
    assert found[0] == "stop"
    assert "alarm-actions" in found[2]
    assert "duties" in found[2]


@pytest.mark.parametrize(("first", "second", "count"), [(ALARMS + CALL, WHOLE, 0), (ALARMS, CALL + WHOLE, 1)])
def test_of_a_folded_card_the_first_panel_is_its_front(site, first, second, count):
    panels = "".join(
        f"  - blocks:\n{'    '.join(['', *blocks.splitlines(keepends=True)])}" for blocks in (first, second)
    )
    ((name, whole),) = card("pit-entrant", "entrant", "").items()
    folded = whole.replace("format: A6", "format: A6-folded").replace("front:\n", f"panels:\n{panels}")
    found = lacks(site(cards={name: folded}))
    assert [(severity, "contacts on its front" in message) for severity, _, message in found] == [
        ("warn", True)
    ] * count


def test_a_number_that_stands_on_the_back_alone_warns(site):
    moved = (CARD, ALARMS + CALL, ALARMS)
    found = lacks(site(moved, (CARD, BACK, f"{BACK}{CALL}{WHOLE}")))
    assert [(severity, "contacts on its front" in message) for severity, _, message in found] == [("warn", True)]


def test_two_cards_of_one_role_and_model_are_carried_together_and_of_two_models_are_not(site):
    other = card("steps", "entrant", f"{CALL}{WHOLE}")
    assert lacks(site(cards=other)) == []
    apart = {name: text.replace("model: two-pumped\n", "") for name, text in other.items()}
    assert {(severity, subject) for severity, subject, _ in lacks(site(cards=apart))} == {
        ("warn", "card:pit-entrant"),
        ("stop", "card:steps"),
    }


def test_every_block_that_a_role_needs_is_there_to_be_used():
    assert {need.block for needs in ROLES.values() for need in needs} <= CARD_BLOCKS.keys()


OF_BOTTLES = [f"cylinder.c-001.{name}" for name in ("tests-left", "runs-out", "pressure")]


@pytest.mark.parametrize("key", [*OF_BOTTLES, "unit.d-001.cat-flammable.drift"])
def test_figures_that_go_stale_are_refused_on_a_card_with_their_line(site, key):
    with pytest.raises(ContentError) as refused:
        site((CARD, CALL, f"{CALL}  - {{block: text, title: Left, body: 'Left: {{{key}}}'}}\n"))
    [problem] = refused.value.problems
    assert (problem.where.file, problem.where.line) == (CARD, 11)
    assert problem.found == f"{{{key}}} on a card, where it goes stale"


RESCUE = "  - {{block: rescue, stops: [{stops}], goes-on: [{on}], turn-back: half used}}\n"


@pytest.mark.parametrize("on", ["flammable", "flammable.high", "oxygen", "oxygen.high"])
def test_no_rescuer_goes_on_at_an_alarm_of_fire(site, on):
    # common practice, no source: breathing air does not shelter from fire
    with pytest.raises(ContentError, match="breathing air is no shelter from fire"):
        site(cards=card("help", "rescue", RESCUE.format(stops="flammable.high", on=on)))


def test_a_rescuer_is_told_of_each_alarm_and_never_in_an_entrants_words(site):
    half = card("help", "rescue", RESCUE.format(stops="flammable.high", on="oxygen.low"))
    program = site(cards=half)
    [told] = [one for one in alarm_not_on_card.ask(compute(program, DAY)) if one.subject == "card:help"]
    assert "an alarm of the oxygen or flammable channel may sound" in told.message
    whole = card("help", "rescue", RESCUE.format(stops="flammable, oxygen.high", on="oxygen.low"))
    program = site(cards=whole)
    assert [one for one in alarm_not_on_card.ask(compute(program, DAY)) if one.subject == "card:help"] == []
    assert {entry.alarms["high"].action_of("rescue") for entry in program.setpoints} == {None}
    assert all(entry.alarms["high"].action_of("tester") for entry in program.setpoints)
