"""Every block on every format in every language, as usual and under attack: printed whole and legible, or refused.

What was handed out is judged by `tests.render.outside`, which asks no code on trial. The full product of blocks,
formats, languages and attacks is near three thousand cards; every pair of any two of these is tried, in a hundred:
each day another fifth of them, and every word of another fifth of the blocks; `make trust` tries all at once.
"""

from __future__ import annotations

import itertools
import random
import re
from dataclasses import fields, is_dataclass, replace
from datetime import date
from fractions import Fraction

import pytest

from builder.base.errors import FitError
from builder.figures.compute import compute
from builder.pages.blocks import Code, Fig, ItemList, Paragraph, Table, Text
from builder.pages.cards.compose import compose_cards
from builder.pages.compositions import CardBlock, CardSide, figures_in
from builder.pages.prose import ProseContext
from builder.program.card_blocks import CARD_BLOCKS
from builder.program.languages import LANGUAGES
from builder.render import cards
from builder.render.card_pages import card_label
from builder.render.formats import FORMATS
from tests.conftest import DAY, DEMO
from tests.edited import edited
from tests.render.every_block import CARD, card_of, written
from tests.render.outside import seen_faults
from tests.rendered import render_cards
from tests.trust.long import sample_of

LONG = "Gasmessgeraetepruefung"
LONGER = "Gasmessgeraetepruefungsbescheinigungsausstellungsstellenamt"
MANY = 1_250_000
LARGE = "1\u202f250\u202f000"
"""Larger than any part per million, in threes as the ledger writes it."""
LEFT_TO_RIGHT = tuple(tag for tag, language in LANGUAGES.items() if not language.right_to_left)
ATTACKS = ("usual", "long", "longer", "number", "tall")


def pairs_covered(*axes):
    """Few tuples, one value of each axis, so that every two values of different axes meet; always the same ones."""
    pairs = {one: frozenset(itertools.combinations(enumerate(one), 2)) for one in itertools.product(*axes)}
    left, found = set().union(*pairs.values()), []
    while left:
        found.append(max(pairs, key=lambda one: len(pairs[one] & left)))
        left -= pairs[found[-1]]
    return found


CASES = pairs_covered(tuple(CARD_BLOCKS), tuple(FORMATS), tuple(LANGUAGES), ATTACKS)
random.Random(5).shuffle(CASES)  # so that each day has some of every format, language and attack


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """Every block in every language, and the figures."""
    program = edited(DEMO, tmp_path_factory.mktemp("attack"), written(card_of()))
    ledger = compute(program, DAY).ledger
    context = ProseContext(ledger=ledger, titles=lambda reference: reference)
    program = replace(program, cards={CARD: program.cards[CARD]})
    found = {}
    for card in compose_cards(program, ledger, context, draft=False).papers:
        found |= {(block.name, card.language): (card, block) for block in card.sides[0].blocks}
    return found, ledger.figures


def test_every_block_there_is_is_attacked(site):
    assert {name for name, _ in site[0]} - {"spelled"} == set(CARD_BLOCKS), (
        "abbreviations are spelled without being asked"
    )
    assert {name for name, *_ in CASES} == set(CARD_BLOCKS)
    pairs = {pair for one in CASES for pair in itertools.combinations(enumerate(one), 2)}
    axes = [len(axis) for axis in (CARD_BLOCKS, FORMATS, LANGUAGES, ATTACKS)]
    assert len(pairs) == sum(one * other for one, other in itertools.combinations(axes, 2))


# ---- attacks ------------------------------------------------------------


def replaced(node, at, word, count=None):
    """The records with the text at one index, or every text, beginning with a word of many letters."""
    count = itertools.count() if count is None else count
    if isinstance(node, str):
        return re.sub(r"[^\W\d_]+", word, node, count=1) or word if at in (None, next(count)) else node
    if isinstance(node, (Text, Code)):
        return replace(node, text=replaced(node.text, at, word, count))
    if isinstance(node, tuple):
        return tuple(replaced(part, at, word, count) for part in node)
    if not is_dataclass(node):
        return node
    names = [part.name for part in fields(node) if part.name in FREE]
    return replace(node, **{name: replaced(getattr(node, name), at, word, count) for name in names})


FREE = ("title", "caption", "columns", "rows", "items", "content", "blocks", "says")


def texts_in(node):
    """How many free texts there are."""
    count = itertools.count()
    replaced(node, -1, "", count)
    return next(count)


def on_a_card(card, block, form, name):
    """A card with the block alone; on a folded one it stands on a panel without head."""
    sides = (CardSide(name="front", blocks=(block,)),)
    if FORMATS[form].folded:
        cover = CardBlock(name="cover", title="", blocks=(Paragraph((Text("."),)),))
        sides = (CardSide(name="panel 1", blocks=(cover,)), CardSide(name="panel 2", blocks=(block,)))
    return replace(card, id=name, format=form, sides=sides)


def enlarged(figures, block):
    """The figures of a block with numbers of many digits, marked in threes as the ledger does."""
    return {**figures, **{key: grown(figures[key]) for key in set(figures_in(block.blocks))}}


def grown(figure):
    text = re.sub(r"[0-9]+", LARGE, figure.text, count=1)
    if isinstance(figure.exact, date):
        return replace(figure, text=text)
    interval = figure.interval and replace(figure.interval, count=MANY)
    return replace(figure, text=text, exact=Fraction(MANY), rounding=None, interval=interval)


def attacked(block, figures, attack):
    if attack == "number":
        return block, enlarged(figures, block)
    if attack == "tall":
        return replace(block, blocks=block.blocks * max(12, 90 // texts_in(block))), figures
    if attack in ("long", "longer"):
        return replaced(block, None, LONG if attack == "long" else LONGER), figures
    return block, figures


def outcome(card, figures):
    """Nothing when it was handed out and is as it should be, else the refusal, which names all that it has to."""
    made, refusal = tried(card, figures)
    if made is not None:
        assert seen_faults(card, made.pdf, figures) == []
        return []
    side, name = card.sides[-1].name, card.sides[-1].blocks[0].name
    label = card_label(card)
    language = "" if f"({card.language})" in label else f" ({card.language})"
    assert all(fault.startswith(f"card {label}, ") and f"({card.language})" in fault for fault in refusal), refusal
    told = re.compile(rf"{re.escape(f'card {label}, {side}{language}, block ')}({name}|title): .*\d\.\d mm")
    assert any(told.match(fault) for fault in refusal), refusal
    return refusal


def tried(card, figures):
    try:
        [made] = render_cards([card], figures)
    except FitError as error:
        return None, error.faults
    return made, []


# ---- trials ------------------------------------------------------------


@pytest.mark.parametrize(("name", "form", "language", "attack"), sample_of(CASES, 5), ids=str)
def test_a_block_is_printed_whole_and_legible_or_refused(site, name, form, language, attack):
    (card, block), figures = site[0][name, language], site[1]
    block, figures = attacked(block, figures, attack)
    refused = outcome(on_a_card(card, block, form, "attacked"), figures)
    if attack == "tall":
        assert any("below the safe area" in fault for fault in refused)
    if attack == "usual" and form == "A6":
        assert refused == []


def shortened(block):
    """The block with one row of each table and one item of each list: the others have the same kinds of text."""
    parts = [
        replace(part, rows=part.rows[:1])
        if isinstance(part, Table)
        else replace(part, items=part.items[:1])
        if isinstance(part, ItemList)
        else part
        for part in block.blocks
    ]
    return replace(block, blocks=tuple(parts))


@pytest.mark.parametrize("name", sample_of(CARD_BLOCKS, 5))
def test_an_unbreakable_word_in_any_one_text_of_a_block_is_printed_or_refused(site, name):
    """Names of gases, actions, contacts, steps, titles, heads: one at a time, formats and languages in turn."""
    refusals = 0
    turns = itertools.cycle(itertools.product(("A7", "ID-1"), LEFT_TO_RIGHT))
    for at, (form, language) in zip(range(texts_in(shortened(site[0][name, "en"][1]))), turns, strict=False):
        card, block = site[0][name, language]
        block = shortened(block)
        planted = replaced(block, min(at, texts_in(block) - 1), LONGER)
        refusals += bool(outcome(on_a_card(card, planted, form, f"text-{at}"), site[1]))
    assert refusals


@pytest.mark.parametrize("field", ["title", "area", "who"])
def test_an_unbreakable_word_in_the_head_of_a_card_is_printed_or_refused(site, field):
    card, block = site[0]["contacts", "en"]
    for form in ("A7", "ID-1", "3x5in"):
        refused = outcome(replace(on_a_card(card, block, form, "head"), **{field: LONGER}), site[1])
        assert refused or field != "title", "the others may break within the word"


def with_units(part):
    """Keys of the figures that are printed with their unit."""
    if isinstance(part, Fig):
        return set() if part.bare else {part.key}
    parts = (
        part
        if isinstance(part, tuple)
        else [getattr(part, one.name) for one in fields(part)]
        if is_dataclass(part)
        else ()
    )
    return set().union(*(with_units(one) for one in parts))


def test_an_unbreakable_symbol_of_a_unit_is_refused(site):
    tried_blocks = set()
    for name in CARD_BLOCKS:
        card, block = site[0][name, "en"]
        keys = sorted(key for key in with_units(block.blocks) if site[1][key].unit)
        for key in keys[:1]:
            figures = {**site[1], key: replace(site[1][key], unit=LONGER)}
            assert outcome(on_a_card(card, block, "A7", "unit"), figures), (name, key)
            tried_blocks.add(name)
    assert len(tried_blocks) >= 5, tried_blocks


# ---- the trials themselves ------------------------------------------------------------


def test_both_outcomes_are_met(site):
    """Else the attacks would be too weak or too strong to show anything."""
    card, block = site[0]["text", "en"]
    assert outcome(on_a_card(card, replaced(block, None, LONG), "A7", "c"), site[1]) == []
    assert outcome(on_a_card(card, replaced(block, None, LONGER), "A7", "c"), site[1])


BAD = [
    (".block { margin-left: -2mm }", "leaves the safe area"),
    (".block p, .block li { font-size: 6.9pt }", "is 1.18"),
    (".block { position: absolute; bottom: 1mm; margin: 0 }", "leaves the safe area"),
    ("dd, td, .order ul, .order p + * { display: none }", "misses"),
    (".decisive { font-size: 8.9pt !important }", "is under 9.0 pt"),
    (".do, .action td { font-weight: 600 !important }", "is not bold"),
    (".side { border: 1mm solid #111 }", "ink in the outermost"),
]


@pytest.mark.parametrize(("css", "said"), BAD)
def test_the_outside_reader_sees_what_is_wrong(site, monkeypatch, css, said):
    """With the builder's own judge silenced, so that what is bad is handed out."""
    card, block = site[0]["alarm-actions", "en"]
    two = replace(block, blocks=(*block.blocks, *site[0]["text", "en"][1].blocks))
    one = on_a_card(card, two, "A6", "bad")
    assert seen_faults(one, render_cards([one], site[1])[0].pdf, site[1]) == []
    plain = cards.card_css()
    monkeypatch.setattr(cards, "card_css", lambda: plain + css)
    monkeypatch.setattr(cards, "fit_faults", lambda *_: [])
    found = seen_faults(one, render_cards([one], site[1])[0].pdf, site[1])
    assert any(said in fault for fault in found), found
