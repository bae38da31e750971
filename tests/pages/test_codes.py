"""Codes of cards and labels say what a reader sees: a change of print moves them, a change of records does not."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, is_dataclass, replace

import pytest

from builder.base import record
from builder.pages.blocks import Fig, Paragraph, Qr, Table, Text
from builder.pages.cards.compose import compose_cards
from builder.pages.compositions import Card, CardBlock, CardSide, figures_in
from builder.pages.labels import unit_labels
from builder.pages.prose import ProseContext
from builder.pages.seen_text import card_seen, seen_code
from tests.conftest import DAY, DEMO
from tests.shared import judged_once


@pytest.fixture(scope="module")
def judged():
    return judged_once(DEMO, DAY)


@pytest.fixture(scope="module")
def cards(judged):
    return compose_cards(
        judged.program, judged.ledger, ProseContext(ledger=judged.ledger, titles=str), draft=False
    ).papers


GROWN = {}


def grown(node):
    """The same records, each of a class with one more field and another ``repr``, as a refactoring might leave them."""
    if isinstance(node, tuple):
        return tuple(grown(part) for part in node)
    if not is_dataclass(node):
        return node
    kind = type(node)
    if kind not in GROWN:
        more = {"__annotations__": {"unused": int}, "unused": field(default=7, kw_only=True)}
        way = dataclass if kind.__dataclass_params__.frozen else record.dataclass
        GROWN[kind] = way(frozen=True, slots=True)(type(f"Another{kind.__name__}", (kind,), more))
    return GROWN[kind](**{part.name: grown(getattr(node, part.name)) for part in fields(kind)})


def code(card, figures):
    return seen_code("EX", card_seen(card, figures))


def test_a_field_more_in_every_record_changes_no_code_of_the_demo(cards, judged):
    short = judged.program.site.short.value
    for card in cards:
        other = grown(card)
        assert repr(other) != repr(card)
        assert seen_code(short, card_seen(other, judged.ledger.figures)) == card.code
    assert len({card.code for card in cards}) == len(cards) >= 20


def test_a_field_more_in_every_figure_changes_no_code_of_the_demo(cards, judged):
    figures = {key: grown(judged.ledger[key]) for card in cards for key in figures_in(card)}
    for card in cards:
        assert code(card, figures) == code(card, judged.ledger.figures)


def test_what_no_reader_sees_is_in_no_code(cards, judged):
    card = next(card for card in cards if card.id == "tank-lining-tester")
    for other in (
        replace(card, id="x"),
        replace(card, smallest=0),
        replace(card, type_pt=7.6),
        replace(card, code="x"),
    ):
        assert code(other, judged.ledger.figures) == code(card, judged.ledger.figures)


FIGURES_LIKE = "setpoint."


@dataclass
class Change:
    """A card as it would be printed after one change that a reader can see."""

    name: str
    card: Card
    figures: dict


def changes(card, figures):
    front, back = card.sides[0], card.sides[1]
    first = front.blocks[0]
    table = first.blocks[0]
    key = next(key for key in figures_in(card) if key.startswith(FIGURES_LIKE))
    told = figures[key]

    def with_block(block):
        return replace(card, sides=(replace(front, blocks=(block, *front.blocks[1:])), back))

    yield Change("word of a title", replace(card, title=card.title + "s"), figures)
    yield Change("whom it is for", replace(card, who="Watch"), figures)
    yield Change("area", replace(card, area=card.area + "s"), figures)
    yield Change("size", replace(card, format="3x5in"), figures)
    yield Change("language", replace(card, language="de"), figures)
    yield Change("foot", replace(card, foot=(*card.foot, Text("."))), figures)
    yield Change("draft", replace(card, draft=True), figures)
    yield Change("sides the other way round", replace(card, sides=(back, front)), figures)
    turned = replace(back, blocks=back.blocks[::-1])
    yield Change("blocks the other way round", replace(card, sides=(front, turned)), figures)
    yield Change("title of a block", with_block(replace(first, title=first.title + "s")), figures)
    rows = replace(table, rows=(table.rows[1], table.rows[0], *table.rows[2:]))
    yield Change("rows the other way round", with_block(replace(first, blocks=(rows,))), figures)
    yield Change(
        "head of a column", with_block(replace(first, blocks=(replace(table, columns=("a", "b", "c")),))), figures
    )
    yield Change("number", card, {**figures, key: replace(told, text=told.text + "0")})
    yield Change("unit", card, {**figures, key: replace(told, unit="ppm" if told.unit != "ppm" else "%")})
    yield Change("relation", card, {**figures, key: replace(told, relation="<")})
    yield Change("line more", with_block(replace(first, blocks=(*first.blocks, Paragraph((Text("Leave."),))))), figures)


def test_every_change_that_a_reader_sees_is_another_code(cards, judged):
    card = next(card for card in cards if card.id == "wet-well-entrant" and not card.variant)
    figures = {key: judged.ledger[key] for key in figures_in(card)}
    assert isinstance(card.sides[0].blocks[0].blocks[0], Table)
    codes = {"as it is": code(card, figures)}
    for change in changes(card, figures):
        found = code(change.card, change.figures)
        assert found not in codes.values(), change.name
        codes[change.name] = found
    assert len(codes) > 15


def test_the_points_of_a_drawing_and_the_address_of_a_square_code_are_seen(cards, judged):
    whole = next(card for card in cards if card.id == "coatings-readings")
    drawing = next(block for side in whole.sides for block in side.blocks if block.name == "chart")
    card = replace(whole, sides=(CardSide(name="front", blocks=(drawing,)),))
    figures = {each: judged.ledger[each] for each in figures_in(card)}
    for key in figures_in(card.sides):
        assert code(card, {**figures, key: replace(figures[key], text="1234")}) != code(card, figures)

    def coded(before):
        side = CardSide(
            name="front", blocks=(CardBlock(name="qr", title="", blocks=(Qr(before=before, says="Scan"),)),)
        )
        return code(replace(card, sides=(side,)), figures)

    assert coded("https://a.example#") != coded("https://b.example#")


def test_where_a_line_may_break_is_no_other_code(cards, judged):
    card = cards[0]
    broken = replace(card, title=card.title.replace(" ", "\N{NO-BREAK SPACE}"))
    assert broken.title != card.title
    assert code(broken, judged.ledger.figures) == code(card, judged.ledger.figures)


def test_a_bare_figure_is_another_line_than_one_with_its_unit(cards, judged):
    card = cards[0]
    key = next(key for key in figures_in(card) if judged.ledger[key].unit)
    one, other = (replace(card, foot=(Fig(key, bare=bare),)) for bare in (True, False))
    assert code(one, judged.ledger.figures) != code(other, judged.ledger.figures)


def test_labels_have_codes_of_the_same_kind(judged):
    released, draft = (unit_labels(judged.computed, draft=draft) for draft in (False, True))
    assert released
    assert all(released[unit].code != draft[unit].code for unit in released)
    short = judged.program.site.short.value
    assert len({label.code for label in released.values()}) == len(released)
    assert all(label.code.startswith(f"{short}-") for label in released.values())
