"""The demo judged once, and what the composer asks every language for."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from builder.base.where import Given, Where
from builder.pages.cards.compose import compose_cards
from builder.pages.numbers import COUNTED
from builder.pages.outputs import compose_papers
from builder.pages.prose import ProseContext
from builder.program.card_blocks import CARD_BLOCKS
from builder.program.cards import AUDIENCES, BlockSpec, CardSpec
from builder.program.languages import ENGLISH
from builder.program.languages import LANGUAGES as REGISTERED
from builder.program.localized import LocalizedText
from builder.program.prose import Prose
from tests.conftest import DAY, DEMO
from tests.shared import computed_with, judged_once

HERE, LINE = Where("cards/every.yaml", 1), Where("cards/every.yaml", 2)
LANGUAGES = tuple(tag for tag in REGISTERED if tag != ENGLISH)
"""Those that have a catalogue."""
PLACES = {
    "gases": lambda program: tuple(Given(gas, HERE, gas) for gas in program.gases),
    "cylinder": lambda _: Given("c-101", HERE, "c-101"),
    "model": lambda _: Given("four-diffusion", HERE, "four-diffusion"),
    "line": lambda _: LocalizedText("Stay out.", LINE, "Stay out."),
    "body": lambda _: Prose(text="Stay out.", nodes=(), where=LINE),
}


@pytest.fixture(scope="session")
def judged():
    return judged_once(DEMO, DAY)


def block(program, name):
    empty = {"title": None, "channels": (), "gases": (), "readings": (), "cylinder": None, "model": None, "body": None}
    wanted = {key: make(program) for key, make in PLACES.items() if key in CARD_BLOCKS[name].takes}
    return BlockSpec(name=name, steps=(), where=HERE, **(empty | wanted))


def every_card(program, languages):
    """A card for each area, audience and model with every block, in some languages."""
    names = list(CARD_BLOCKS)
    for area, record in program.areas.items():
        for audience, model in zip(AUDIENCES, (None, *record.detectors, *[None] * len(AUDIENCES)), strict=False):
            yield CardSpec(
                id="lone-worker",  # any card of the demo: its last day is a figure
                title="",
                audience=audience,
                area=Given(area, HERE, area),
                model=model,
                format="A6",
                languages=tuple(Given(language, HERE, language) for language in languages),
                front=tuple(block(program, name) for name in names),
                back=(),
                where=HERE,
            )


@pytest.fixture(scope="session")
def asked(judged):
    """Every text that composing asks for, found by composing: with and without address, as a draft and released.

    What hangs on the address or the draft hangs on no area and audience, so after the first each asks for a fifth
    of the cards, which has every area and every audience.
    """
    found = dict.fromkeys(one for one, _ in COUNTED.values())
    cards = {str(number): card for number, card in enumerate(every_card(judged.program, ["en"]))}
    fifths = [dict(tuple(cards.items())[n::5]) for n in range(3)]
    for at, (address, draft) in enumerate(product((judged.program.site.published_at, None), (True, False))):
        asking = fifths[at - 1] if at else cards
        assert {card.area.value for card in asking.values()} == {*judged.program.areas}
        assert {card.audience for card in asking.values()} == {card.audience for card in cards.values()}
        site = replace(judged.program.site, published_at=address)
        program = replace(judged.program, site=site, cards=asking)
        context = ProseContext(ledger=judged.ledger, titles=str)
        for texts in compose_cards(program, judged.ledger, context, draft=draft).texts:
            found.update(dict.fromkeys(texts.asked))
    computed = computed_with(papers_in("es", judged.program), judged.ledger)
    for draft in (True, False):
        for texts in compose_papers(computed, ProseContext(ledger=judged.ledger, titles=str), draft=draft).texts:
            found.update(dict.fromkeys(texts.asked))
    return tuple(found)


def papers_in(language, program):
    """The same program with every label and log sheet in a language."""
    given = Given(language, HERE, language)
    labels = tuple(replace(sheet, language=given) for sheet in program.labels)
    return replace(program, labels=labels, forms=replace(program.forms, languages=(given,)))
