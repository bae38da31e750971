"""Sheets for tests of the air: a line a level, what is accepted, and a clock for the next test."""

from __future__ import annotations

import pytest

from builder.pages.blocks import Fig, Table, Text
from builder.pages.cards.compose import compose_cards
from builder.pages.forms import log_sheets
from builder.pages.prose import ProseContext
from tests.conftest import DAY, DEMO
from tests.shared import judged_once


@pytest.fixture(name="computed", scope="module")
def _computed():
    return judged_once(DEMO, DAY).computed


@pytest.fixture(name="sheets", scope="module")
def _sheets(computed):
    return {sheet.id: sheet for sheet in log_sheets(computed, draft=True).papers if not sheet.checks}


@pytest.fixture(name="read")
def _read(computed):
    def text(nodes):
        parts = [computed.ledger[one.key].text if isinstance(one, Fig) else one.text for one in nodes
                 if isinstance(one, Fig | Text)]  # fmt: skip
        return "".join(parts)

    return text


def test_every_space_that_is_entered_and_every_hot_work_has_one(sheets):
    # 29 CFR 1910.146 App. B (2): measured values beside the acceptable condition; read in a copy of the eCFR
    assert sorted(sheets) == [
        "entry-test--digester-inside", "entry-test--tank-lining", "entry-test--valve-chambers", "entry-test--wet-well",
        "hot-work-test--boiler-house", "hot-work-test--coatings-shop",
    ]  # fmt: skip


def test_a_line_a_level_in_the_order_of_testing(sheets):
    # 29 CFR 1910.146 App. B (4), each 4 ft, by hand: 9 m are 8 steps, so 9 levels; (c)(5)(ii)(C) for the order
    first, again = sheets["entry-test--wet-well"].groups
    assert [line.unit for line in first.lines] == [str(n) for n in range(1, 10)]
    assert (first.lines[0].serial, first.lines[-1].serial) == ("top", "bottom")
    assert [channel.name for channel in first.channels] == ["Oxygen", "Flammable", "H₂S", "CO"]
    assert [column.name for column in again.write] == ["Pass or fail: ring it", "Next test at", "By"]
    assert {line.unit for line in again.lines} == {""}


def test_what_is_accepted_is_the_sites_and_stricter_than_its_alarms(sheets, read):
    # values of the invented site, as its site.yaml has them
    oxygen, flammable, *_ = sheets["entry-test--wet-well"].groups[0].channels
    assert read(oxygen.says[0]).replace("\u00a0", " ") == "Accepted: 20.6 to 21.1"
    assert read(flammable.says[0]) == "Accepted: 0"


def test_it_is_written_down_which_units_tested_the_air_and_that_they_were_tested_themselves(sheets):
    # 29 CFR 1910.146 (c)(5)(ii)(C): tested with a calibrated direct-reading instrument; which one, common practice
    for sheet in sheets.values():
        assert sheet.asks[:2] == ("Units used", "Bump test passed today")


def test_a_fire_watch_has_its_minutes_and_room_for_its_end(sheets, read):
    # 29 CFR 1910.252 (a)(2)(iii)(B): at least half an hour; the site chose more
    sheet = sheets["hot-work-test--coatings-shop"]
    assert "Fire watch after the last flame: 75." in [read(line) for line in sheet.says]
    assert sheet.asks[2:] == ("Last flame at", "Watch until")


def test_a_fire_watch_is_the_longer_of_site_and_rule_and_ends_by_the_clock(computed):
    # 29 CFR 1910.252 (a)(2)(iii)(B), half an hour, beside the invented site's own; by hand, 75 min is 1 h 15 min
    ledger = computed.ledger
    names = ("hot-work.watch", *(f"hot-work.watch.{end}" for end in ("rule", "longest", "hours", "minutes")))
    told = [ledger[name].printed.replace("\u00a0", " ") for name in names]
    assert told == ["75 min", "30 min", "75 min", "1 h", "15 min"]


def test_cards_of_spaces_say_at_which_readings_people_go_in_and_of_other_places_when_to_stay_out(computed, read):
    # 29 CFR 1910.146 App. B (2): the acceptable condition, not the alarm, decides; values of the invented site
    context = ProseContext(ledger=computed.ledger, titles=str)
    papers = compose_cards(computed.program, computed.ledger, context, draft=True).papers
    cards = {card.id: card for card in papers if card.language == "en"}

    def asked(name):
        blocks = (block for side in cards[name].sides for card_block in side.blocks for block in card_block.blocks)
        tables = (one for one in blocks if isinstance(one, Table) and one.columns[0] == "Test in this order")
        return [(table.columns[1], *(read(row[1]) for row in table.rows)) for table in tables]

    go_in = [("Go in only at", "20.6 to 21.1", "0", "0", "0")]
    assert asked("wet-well-tester") == asked("wet-well-sign") == go_in
    assert asked("carbon-dioxide-sign")[0][0] == "Stay out"
