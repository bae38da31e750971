"""What an alarm asks for is found on the side that is looked at, and the number to call is large."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.pages.blocks import Strong, Table, Text
from builder.pages.cards.compose import compose_cards
from builder.pages.prose import ProseContext
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, language_css, page_css, side_css
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine

BOLD = 700
CALL_PT = 14
"""Least size of the number for an emergency; common practice, no source."""


def cards(judged, program=None):
    context = ProseContext(ledger=judged.ledger, titles=str)
    return {
        card.name: card for card in compose_cards(program or judged.program, judged.ledger, context, draft=True).papers
    }


def orders(card, side=0):
    tables = [part for block in card.sides[side].blocks for part in block.blocks if isinstance(part, Table)]
    return {what[0].text: when for table in tables if table.kind == "actions" for what, *when in table.rows}


def test_a_rescuer_is_never_ordered_out_in_an_entrants_words(judged):
    entrants = {alarm.action.value for entry in judged.program.setpoints for alarm in entry.alarms.values()}
    rescuers = [card for card in cards(judged).values() if card.audience == "rescue"]
    assert len(rescuers) > 3
    assert all(entrants.isdisjoint(orders(card)) for card in rescuers)


def test_a_watch_does_what_is_asked_of_the_watch(judged):
    made = cards(judged)
    assert "Work stops. All out." in orders(made["coatings-hot-work"])
    assert "Work stops. All out." not in orders(made["coatings-readings"], side=1)


def test_a_side_without_an_alarm_of_the_reader_says_where_it_is(judged):
    spec = judged.program.cards["wet-well-entrant"]
    [block] = [one for one in spec.front if one.name == "alarm-actions"]
    told = {given.value: given for entry in judged.program.setpoints for given in [entry.channel]}
    front, back = (replace(block, channels=(told[name],)) for name in ("oxygen", "carbon-monoxide"))
    split = replace(spec, front=(front,), back=(back,))
    program = replace(judged.program, cards={spec.id: split})
    lines = [Strong((Text(f"{channel}: turn over."),)) for channel in ("CO", "Oxygen")]
    for side, line in zip(cards(judged, program)[spec.id].sides, lines, strict=True):
        assert line in [part for one in side.blocks[0].blocks for part in getattr(one, "content", ())]
    whole = cards(judged)[spec.id]
    assert not any("turn over" in str(block) for side in whole.sides for block in side.blocks)


@pytest.mark.parametrize("name", ["wet-well-entrant", "wet-well-attendant", "digester-entrant"])
def test_the_number_for_an_emergency_is_large_bold_and_on_the_front(judged, name):
    card = cards(judged)[name]
    form = card_format(card.format)
    css = (card_css(), *language_css(card), page_css(form.width, form.height), side_css(form))
    with PdfEngine() as engine:
        front = sides_of(engine.document(card_html(card, judged.ledger.figures), css))[0]
    [number] = [ink for ink in front.inks if ink.text == "4400" and ink.block == "contacts"]
    assert number.size_pt >= CALL_PT
    assert number.weight >= BOLD
