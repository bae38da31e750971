"""Which line of a printed card tells what to do when a display shows a number: found by rule, as its reader finds it.

The rule: go down the side to the line that names the channel and the number of its alarm; the large line above it is
what to do. Cards are read from their PDFs by pypdf; what has to be found is what `content/setpoints.yaml` says.
"""

from __future__ import annotations

import re
import subprocess
from itertools import pairwise

import pytest

from builder.figures.ledger import Ledger
from builder.pages.handbook.labels import OXYGEN_WORDS, RISING_WORDS, SPELT_WORDS, channel_word
from builder.pages.numbers import spoken_figures
from builder.pages.wording import Wording
from builder.program.keys.families import SETPOINT
from builder.render.formats import FORMATS, SIGNS, type_steps
from tests.conftest import DAY, DEMO
from tests.render.outside import read_runs, squeezed
from tests.rendered import kept_cards
from tests.shared import judged_once

ARM_S_LENGTH_PT, BANK_CARD_PT = 18, 14
"""Least size of an order, and of the number of an emergency; common practice, no source."""


@pytest.fixture(scope="module")
def judged():
    return judged_once(DEMO, DAY)


@pytest.fixture(scope="module")
def carried(judged):
    """Every card that is carried, with its PDF; for signs see test_signs.py."""
    cards = [card for card in judged.papers.cards.papers if card.format not in SIGNS]
    return list(zip(cards, kept_cards(cards, judged.ledger.figures), strict=True))


@pytest.fixture(scope="module")
def printed(carried):
    """Those that tell what to do on alarm."""
    told = [(card, made) for card, made in carried if _blocks(card)]
    assert len(told) > 20
    return told


def _blocks(card):
    return [block for side in card.sides for block in side.blocks if block.name == "alarm-actions"]


def orders_read(pdf):
    """(order, the lines below it) of every page, by the size of type alone."""
    return [found for runs in read_runs(pdf) for found in orders_on(runs)]


def orders_on(runs):
    """The same of one page."""
    found = []
    order, below = "", ""
    for run, following in pairwise([*runs, None]):
        large = run.points >= BANK_CARD_PT - 0.1
        order, below = (order + run.text, below) if large else (order, below + run.text)
        if below and (following is None or following.points >= BANK_CARD_PT - 0.1):
            found.append((order, below))
            order, below = "", ""
    return found


def what_to_do(pdf, channel, alarm, value):
    """The orders above a line that names an alarm with its number."""
    wanted = names(channel, alarm, value)
    return {squeezed(order) for order, below in orders_read(pdf) if wanted.search(squeezed(below))}


def names(channel, alarm, value):
    """A line that names an alarm with its number."""
    return re.compile(rf"{re.escape(squeezed(channel))}:?{re.escape(squeezed(alarm))}:?{re.escape(squeezed(value))}")


def asked(program, ledger: Ledger, card):
    """(channel word, alarm word, number, what to do) of every alarm that the reader of a card can hear."""
    spec = program.cards[card.id]
    say = Wording(language=card.language).text
    figures = spoken_figures(ledger.figures, card.language)
    area = program.areas[spec.area.value]
    models = [program.models[spec.model.value]] if spec.model else program.models_in(area)
    measured = {sensor.channel.value for model in models for _, sensor in program.fitted(model)}
    only = {given.value for block in spec.blocks if block.name == "alarm-actions" for given in block.channels}
    for channel in measured & (only or measured):
        entry = program.setpoint(area.id, channel)
        for alarm in entry.alarms.values() if entry else ():
            action = alarm.action_of(card.audience)
            if action is not None:
                words = OXYGEN_WORDS if channel == "oxygen" else RISING_WORDS
                word = SPELT_WORDS.get(alarm.name) or words[alarm.name]
                key = SETPOINT(area=area.id, channel=channel, alarm=alarm.name)
                said = action.within(card.language, "en").value if hasattr(action, "within") else action.value
                yield channel_word(program, channel, say), say(word), figures[key].printed, said


def test_each_alarm_leads_to_one_order_and_it_is_the_right_one(judged, printed):
    tried = 0
    for card, made in printed:
        if card.language == "ar":  # readers of PDFs give its letters in another order: see test_direction.py
            continue
        for channel, alarm, value, order in asked(judged.program, judged.ledger, card):
            assert what_to_do(made.pdf, channel, alarm, value) == {squeezed(order)}, (card.name, channel, alarm, value)
            tried += 1
    assert tried > 100


def test_all_alarms_of_a_reader_stand_on_one_side(judged, printed):
    """Who hears an alarm turns no card over: every line that names one is on the side that has the others."""
    for card, made in printed:
        if card.language == "ar":  # as above
            continue
        told = [orders_on(runs) for runs in read_runs(made.pdf)]
        sides = {
            number
            for channel, alarm, value, _ in asked(judged.program, judged.ledger, card)
            for number, orders in enumerate(told)
            if any(names(channel, alarm, value).search(squeezed(below)) for _, below in orders)
        }
        assert len(sides) == 1, card.name


def test_a_number_that_no_alarm_has_leads_nowhere(printed):
    [(_, made)] = [(card, made) for card, made in printed if card.name == "wet-well-entrant"]
    assert what_to_do(made.pdf, "H₂S", "2nd alarm", "9 ppm") == set()


def test_every_order_is_read_at_arm_s_length(printed):
    for card, made in printed:
        orders = [run.points for runs in read_runs(made.pdf) for run in runs if run.points >= BANK_CARD_PT - 0.1]
        assert min(orders) >= ARM_S_LENGTH_PT - 0.05, card.name


def test_the_number_of_an_emergency_is_large_on_the_front_with_that_from_outside_beside_it(judged, carried):
    site = judged.program.site.contacts[0]
    assert "4400" in site.call.value
    for card, made in carried:
        front = read_runs(made.pdf)[0]
        sizes = [run.points for run in front if "4400" in run.text]
        assert max(sizes, default=0) >= BANK_CARD_PT, card.name
        assert squeezed(site.outside.value) in squeezed("".join(run.text for run in front)), card.name


def test_no_line_of_alarms_ends_between_a_name_and_its_number(printed):
    for card, made in printed:
        if card.language == "ar":  # read from right to left
            continue
        assert [line for line in lines_read(made.pdf) if line.startswith(("(TWA)", "(STEL)"))] == [], card.name


def test_no_line_begins_or_ends_with_a_dot_between_two_things(carried):
    for card, made in carried:
        assert [line for line in lines_read(made.pdf) if line.startswith("·") or line.endswith("·")] == [], card.name


def lines_read(pdf):
    read = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    lines = [line.strip() for line in read.stdout.decode().splitlines() if line.strip()]
    assert len(lines) > 10
    return lines


def test_a_tester_goes_in_at_what_the_site_accepts_and_at_no_alarm(carried):
    # content/site.yaml, entry: accept
    wanted = {
        "wet-well": "1.Oxygen20.6to21.1%vol2.Flammable0%LEL3.H2S0ppm4.CO0ppmAnythingelse:",
        "digester": "1.Oxygen20.6to21.1%vol2.Flammable0%LEL3.H2S0ppm4.CO0ppm5.CO2upto700ppmAnythingelse:",
        "tank-lining": "1.Oxygen20.6to21.1%vol2.Flammable0%LEL3.Vapour0ppmAnythingelse:",
    }
    testers = {card.id.removesuffix("-tester"): made for card, made in carried if card.id.endswith("-tester")}
    for place, table in wanted.items():
        text = squeezed("".join(run.text for runs in read_runs(testers[place].pdf) for run in runs))
        assert table in text, place


@pytest.mark.parametrize("name", list(FORMATS))
def test_a_format_has_three_sizes_of_type_and_one_set_more_at_most_for_crowded_cards(name):
    steps = type_steps(FORMATS[name])
    assert len(steps) <= 3
    assert all(sizes.text < sizes.decisive < sizes.action for sizes in steps)


def test_a_card_uses_three_sizes_of_type_and_no_more(printed):
    for card, made in printed:
        runs = [run for runs in read_runs(made.pdf) for run in runs]
        drafts = {squeezed(word) for word in ("DRAFT", "BORRADOR", "ENTWURF", "RASCUNHO", "WERSJA ROBOCZA", "مسودة")}
        sizes = {round(run.points, 1) for run in runs if squeezed(run.text) not in drafts}
        charts = any("chart" in block.name for side in card.sides for block in side.blocks)
        if not charts and card.language != "ar":
            assert len(sizes) <= 3, (card.name, sizes)
