"""Words of the trade lead to the glossary: once a page, quietly, and every term from somewhere."""

from __future__ import annotations

import pytest

from builder.pages.blocks import Code, Heading, ItemList, Link, Notice, Paragraph, Strong, Table, Text
from builder.pages.compositions import Page
from builder.pages.handbook.explained import with_terms
from builder.pages.handbook.glossary import all_terms
from tests.each import each

SPAN = Link("term:span", (Text("span"),), quiet=True)


def t(*parts):
    return tuple(Text(part) if isinstance(part, str) else part for part in parts)


def explained(*blocks, page="page:one"):
    (made,) = with_terms([Page(id=page, path="one.html", title="One", section="home", blocks=blocks)])
    return made.blocks


def led(nodes, page):
    """(target, words) of every link of a page to the glossary that explains a word, heads of tables included."""
    found = [(n.target, n.content[0].text) for n in nodes(page.blocks) if isinstance(n, Link) and n.quiet]
    tables = (n for n in nodes(page.blocks) if isinstance(n, Table))
    heads = [(target, table.columns[index]) for table in tables for index, target in table.explained]
    return [(target, words) for target, words in found + heads if target.startswith("term:")]


def test_the_first_use_leads_to_the_glossary_and_the_words_stay():
    first, second = explained(Paragraph(t("Check the span, then the span again.")), Paragraph(t("Span it.")))
    assert first == Paragraph(t("Check the ", SPAN, ", then the span again."))
    assert second == Paragraph(t("Span it."))


def test_the_longest_phrase_wins_and_plurals_count():
    (made,) = explained(Paragraph(t("Bump tests and a full calibration")))
    assert [node.target for node in made.content if isinstance(node, Link)] == [
        "term:bump-test",
        "term:full-calibration",
    ]
    assert made.content[0].content == t("Bump tests")


@each("text", ["lifespan", "span-like", "spanner", "STELLAR", "stel", "twa", "the ceiling", "vapour"])
def test_parts_of_words_other_cases_and_plain_words_are_left_alone(text):
    assert explained(Paragraph(t(text))) == (Paragraph(t(text)),)


@pytest.mark.parametrize(
    "block",
    [
        Heading(2, t("Span")),
        Paragraph((Strong(t("Span")),)),
        Paragraph((Code("span"),)),
        Paragraph((Link("page:home", t("span")),)),
        *(Notice(kind, (Paragraph(t("span")),)) for kind in ("stop", "warn", "caution")),
    ],
    ids=["heading", "action", "code", "link", "stop", "warning", "caution"],
)
def test_nothing_stands_between_a_reader_and_what_to_do(block):
    assert explained(block) == (block,)


def test_heads_labels_lists_and_remarks_lead_there_too():
    table, items, notice = explained(
        Table(("", "T90"), ((t("Span"), t("span")),)),
        ItemList(((Paragraph(t("STEL")),),)),
        Notice("assumes", (Paragraph(t("TWA")),)),
    )
    assert table.explained == ((1, "term:t90"),)
    assert table.rows[0] == (t(Link("term:span", t("Span"), quiet=True)), t("span"))
    assert items.items[0][0].content[0].target == "term:stel"
    assert notice.content[0].content[0].target == "term:twa"


def test_a_head_with_a_number_says_more_than_a_term():
    (table,) = explained(Table(("TWA alarm at 30 ppm",), ()))
    assert table.explained == ()


@each("page", ["page:glossary", "page:figures", "figures:site", "page:search", "page:findings"])
def test_pages_that_explain_or_quote_are_left_alone(page):
    assert explained(Paragraph(t("span")), page=page) == (Paragraph(t("span")),)


def test_no_phrase_leads_to_two_terms():
    phrases = [phrase.lower() for term in all_terms() for phrase in term.phrases]
    assert len(phrases) == len(set(phrases))


def test_every_term_is_reached_from_a_page_that_uses_it_and_every_link_has_its_anchor(demo, nodes):
    composed = demo.built.composed
    met = {}
    for page in composed.pages:
        found = led(nodes, page)
        assert len({target for target, _ in found}) == len(found), f"{page.id} explains a word twice"
        assert len(found) <= 20, f"{page.id} is cluttered: {len(found)} explained words"
        for target, words in found:
            met.setdefault(target, []).append((page.id, words))
            assert target in composed.hrefs
    assert {f"term:{term.id}" for term in all_terms()} - set(met) == set()
    glossary = (demo.out / "glossary.html").read_text(encoding="utf-8")
    for target in met:
        path, _, anchor = composed.hrefs[target].partition("#")
        assert path == "glossary.html"
        assert glossary.count(f' id="{anchor}"') == 1
    for wanted in ("twa", "stel", "lel", "ceiling", "idlh", "bump-test", "span", "correction-factor", "draw-time"):
        assert any(page != "page:cautions" for page, _ in met[f"term:{wanted}"]), wanted
