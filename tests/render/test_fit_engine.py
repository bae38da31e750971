"""Every way in which a card was seen to go wrong on paper is caught after layout, and a good card is not."""

from __future__ import annotations

import pytest

from builder.pages.blocks import Absent, Code, Heading, ItemList, Notice, Paragraph, Strong, Table, Text
from builder.pages.compositions import Card
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fit import fit_faults
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from tests.render.samples import FIGURES, block, calibrator, card, entrant, fig, limits, para, words


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as made:
        yield made


def faults_of(engine: PdfEngine, one: Card, css: str = "") -> list[str]:
    form = card_format(one.format)
    sheets = (card_css(), page_css(form.width, form.height), side_css(form), css)
    document = engine.document(card_html(one, FIGURES), sheets)
    return fit_faults(sides_of(document), [(one.id, side.name) for side in one.sides])


@pytest.mark.parametrize("draft", [False, True])
@pytest.mark.parametrize("make", [entrant, limits, calibrator])
def test_a_good_card_passes(engine, make, draft):
    assert faults_of(engine, make(draft=draft)) == []


@pytest.mark.parametrize("form", ["A6", "A7"])
def test_every_kind_of_block_passes(engine, form):
    kinds = (
        Heading(2, words("Head")),
        Paragraph((Code("d-001"), Text(" "), Strong((Absent("not known"),)), Text(" "), Absent("none"))),
        ItemList(items=((para("One"),), (para("Two"), para("More"))), ordered=True, start=9),
        ItemList(items=((para("Tick. Done."),),), kind="ticks"),
        Notice(kind="stop", content=(para("Leave."),), title="Now"),
        Table(columns=("A", "B"), rows=((words("a"), fig("limit.h2s")),), caption="Cap", numeric=(1,), kind="matrix"),
        Table(columns=("A", "B"), rows=()),
    )
    one = card("c", (block("all", *kinds, title="All"),), form=form)
    assert faults_of(engine, one) == []


def test_tall_text_is_told_with_block_and_millimetres(engine):
    def lines(count: int) -> list[str]:
        items = ItemList(items=tuple((para(f"Line {number}"),) for number in range(count)))
        return faults_of(engine, card("tall", (block("text", items),)))

    assert lines(10) == []
    by_forty, by_fifty = lines(40), lines(50)
    assert by_forty[0].startswith("card tall, front (en), block text: ")
    assert "mm below the safe area, which ends at the foot" in by_forty[0]
    excess = [float(faults[0].split(": ")[1].split(" mm")[0]) for faults in (by_forty, by_fifty)]
    line = 7.6 * 1.22 * 25.4 / 72 + 0.35
    assert excess[1] - excess[0] == pytest.approx(10 * line, abs=0.21)


def test_a_long_word_leaves_the_card(engine):
    faults = faults_of(engine, card("c", (block("text", para("w" * 90)),)))
    assert len(faults) == 1
    assert "front (en), block text: " in faults[0]
    assert "mm right of the safe area" in faults[0]


def test_a_wide_table_leaves_the_card(engine):
    columns = tuple(f"Substance{number}" for number in range(8))
    faults = faults_of(engine, card("c", (block("wide", Table(columns=columns, rows=(tuple(map(words, columns)),))),)))
    assert any("block wide: " in fault and "right of the safe area" in fault for fault in faults)


def test_a_cell_that_does_not_wrap_leaves_its_cell(engine):
    css = f"{CONTACTS} table {{ table-layout: fixed; width: 40mm }} {CONTACTS} td {{ white-space: nowrap }}"
    faults = faults_of(engine, entrant(), css)
    assert any("front (en), block contacts: " in fault and "right of its table cell" in fault for fault in faults)
    assert not any("safe area" in fault for fault in faults)


CONTACTS = "[data-block=contacts]"
INJECTED = [
    (
        "absolute box off the card",
        f"{CONTACTS} {{ position: absolute; left: 60mm; top: 20mm; width: 40mm }}",
        "right of the safe area",
    ),
    ("negative margin to the side", f"{CONTACTS} {{ margin-left: -2mm }}", "2.0 mm left of the safe area"),
    ("negative margin upward", f"{CONTACTS} {{ margin-top: -12mm !important }}", "12.0 mm of it lie on block alarm"),
    ("over the top", "header { margin-top: -4mm }", "above the safe area"),
    ("moved by a transform", f"{CONTACTS} {{ transform: translate(30mm, 0) }}", "right of the safe area"),
    ("shrunk by a transform", f"{CONTACTS} {{ transform: scale(0.8) }}", "a lower-case x is"),
    ("turned by a transform", f"{CONTACTS} {{ transform: rotate(-60deg) }}", "below the safe area"),
    ("tiny text", f"{CONTACTS} {{ font-size: 6.9pt }}", "at least 1.2 mm is needed"),
    ("tiny foot", "footer { font-size: 6.5pt }", "block foot: a lower-case x is 1.11 mm high (6.50 pt)"),
    ("clipped", f"{CONTACTS} {{ overflow: hidden; height: 4mm }}", "below the box that cuts it off"),
    (
        "clipped inside",
        f"{CONTACTS} td {{ overflow: hidden }} {CONTACTS} table {{ width: 20mm; table-layout: fixed }}",
        "right of the box that cuts it off",
    ),
    ("left out", f"{CONTACTS} {{ display: none }}", "characters are not laid out"),
    ("invisible", f"{CONTACTS} {{ visibility: hidden }}", "hidden by its style"),
    ("transparent", f"{CONTACTS} {{ opacity: 0.3 }}", "contrast is"),
    ("pale", f"{CONTACTS} {{ color: #777 }}", "contrast is 4.4"),
    ("dark ground", f"{CONTACTS} {{ background: #444 }}", "contrast is"),
    ("small decisive number", "[data-side=back] .decisive { font-size: 8.9pt }", "a decisive number is 8.90 pt"),
    ("small action", ".do { font-size: 12.9pt }", "block alarm-actions: the action is 12.90 pt"),
    ("action not bold", ".do { font-weight: 600 }", "block alarm-actions: the action is not bold (weight 600)"),
    ("broken over pages", f"{CONTACTS} {{ break-before: page }}", "front: runs over 2 pages"),
]


@pytest.mark.parametrize(("css", "expected"), [case[1:] for case in INJECTED], ids=[case[0] for case in INJECTED])
def test_each_injected_fault_is_caught(engine, css, expected):
    faults = faults_of(engine, entrant(), css)
    assert any(expected in fault for fault in faults), faults
    assert all(fault.startswith("card wet-well-entrant") for fault in faults)


def test_a_dark_word_behind_a_draft_lowers_the_contrast_of_all_text(engine):
    assert faults_of(engine, entrant(draft=True), ".decor { color: #bbb }") == []
    faults = faults_of(engine, entrant(draft=True), ".decor { color: #888 }")
    assert any("block alarm-actions: contrast is" in fault for fault in faults)


def test_type_of_exactly_seven_points_passes(engine):
    assert (
        faults_of(
            engine, card("c", (block("text", para("Seven points."), para("More.")),)), ".block { font-size: 7pt }"
        )
        == []
    )


def test_a_side_that_nobody_laid_out_is_told(engine):
    document = engine.document(card_html(limits(), FIGURES), (card_css(), page_css(85.6, 53.98)))
    faults = fit_faults(sides_of(document), [("wet-well-limits", "front"), ("wet-well-limits", "back")])
    assert "card wet-well-limits, back: was not laid out" in faults


def test_a_figure_inside_a_small_table_keeps_its_own_rule(engine):
    table = Table(columns=("Gas", "Limit"), rows=((words("Oxygen"), fig("limit.oxygen")),), numeric=(1,))
    faults = faults_of(engine, card("c", (block("limits", table),)), "table .fig { font-size: 8pt }")
    assert faults == [
        'card c, front (en), block limits: a decisive number is 8.00 pt, at least 9 pt is needed, at "< 19.5 %vol"'
    ]
