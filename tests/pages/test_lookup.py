"""What can be looked up, what uses what, and the words of the glossary."""

from __future__ import annotations

import re

import pytest

from builder.pages.blocks import Heading, Link, Paragraph, Text
from builder.pages.compositions import links_in
from builder.pages.handbook.entries import KINDS, entries_of, folded_text
from builder.pages.handbook.figure_pages import figure_pages
from builder.pages.handbook.glossary import CHECKED, all_terms, term_groups
from builder.pages.handbook.reader_data import derivation, reader_data
from builder.pages.handbook.uses import THINGS


@pytest.fixture(scope="module")
def entries(made):
    return entries_of(made.program, names(made), {"pit-entrant": "LEY-22222"}, made.pages)


def names(made):
    from builder.pages.handbook.handbook_context import names_of

    return names_of(made.program)


def test_everything_with_a_place_can_be_looked_up_once(made, entries):
    references = [entry.reference for entry in entries]
    assert len(references) == len(set(references))
    assert set(references) >= {page.id for page in made.pages if not page.id.startswith("figures:")} - {
        "page:search"
    } | {f"card:{card}" for card in made.program.cards}
    assert all(reference in made.hrefs for reference in references if reference != "page:status")
    order = [kind for kind, _ in KINDS]
    assert [entry.kind for entry in entries] == sorted((entry.kind for entry in entries), key=order.index)


def test_things_are_known_by_their_other_names(entries):
    found = {entry.reference: entry for entry in entries}
    assert set(found["gas:methane"].words) >= {"CH₄", "74-82-8", "marsh gas"}
    assert found["unit:d-001"].words == ("T2-0001",)
    assert "A-1" in found["cylinder:c-001"].words
    assert "LEY-22222" in found["card:pit-entrant"].words
    assert "LFL" in found["term:lel"].words


@pytest.mark.parametrize(
    ("text", "plain"), [("Éther CH₄", "ether ch4"), ("mg/m³", "mg/m3"), ("o-Xylene", "o-xylene"), ("ẞ", "ss")]
)
def test_text_is_folded_for_comparison(text, plain):
    assert folded_text(text) == plain


def test_the_index_lists_every_entry_under_its_letter_in_order(made, entries):
    page = made.page("page:search")
    listed = [
        row[0][0].target
        for block in page.blocks
        if hasattr(block, "rows")
        for row in block.rows
        if isinstance(row[0][0], Link)
    ]
    assert set(listed) == {entry.reference for entry in entries}
    letters = [block.content[0].text for block in page.blocks if isinstance(block, Heading)]
    assert letters[-1] == "Figures"
    assert letters[:-1] == sorted(letters[:-1])


# ---- what uses this --------------------------------------------------------------------


def section(page):
    """The blocks from "What uses this" on."""
    at = next(i for i, b in enumerate(page.blocks) if isinstance(b, Heading) and b.content == (Text("What uses this"),))
    return page.blocks[at:]


def test_every_thing_ends_with_what_leads_to_it_and_nothing_is_left_out(made):
    things = [page for page in made.pages if page.id.partition(":")[0] in THINGS]
    assert len(things) > 12
    for thing in things:
        named = set(links_in(section(thing)))
        pages = [
            page for page in made.pages if page.id != thing.id and not page.id.startswith(("figures:", "page:search"))
        ]
        before = {
            page.id: page.blocks[: -len(section(page))] if page.id.partition(":")[0] in THINGS else page.blocks
            for page in pages
        }
        users = {page.id for page in pages if thing.id in set(links_in((page.lead, before[page.id])))}
        assert users <= named, thing.id
        extra = {target for target in named - users if not target.startswith(("figure:", "card:"))}
        assert extra == set(), thing.id


def test_a_thing_leads_to_the_derivations_of_its_figures(made):
    first = min(key for key in made.ledger.figures if key.startswith("gas.methane."))
    assert f"figure:{first}" in set(links_in(section(made.page("gas:methane"))))


# ---- glossary ---------------------------------------------------------------------------


def test_terms_are_told_once_with_a_source_or_a_plain_word_that_there_is_none(made):
    ids = [term.id for term in all_terms()]
    assert len(ids) == len(set(ids)) > 40
    assert all(re.fullmatch(r"[a-z0-9-]+", name) for name in ids)
    for term in all_terms():
        assert term.checked in CHECKED
        assert bool(term.source) == (term.checked != "practice"), term.id
        assert set(term.see) <= set(ids) - {term.id}, term.id
        assert 40 < len(term.text) < 400, term.id
        assert term.text.endswith("."), term.id
    assert sum(len(group.terms) for group in term_groups()) == len(all_terms())
    page = made.page("page:glossary")
    text = " ".join(
        part.text for b in page.blocks if isinstance(b, Paragraph) for part in b.content if isinstance(part, Text)
    )
    assert text.count("Source: ") == len(all_terms())


# ---- derivations in place -----------------------------------------------------------------


def test_a_short_derivation_tells_of_every_figure_what_its_page_tells(made):
    data = reader_data(made.program, made.ledger, figure_pages(made.ledger.figures), made.pages, names(made), {}, {})
    found = {one.key: one for group in data.derivations.values() for one in group}
    assert set(found) == set(made.ledger.figures)
    keys = [
        ".".join(part for part in (first, second, tail) if part)
        for first, number, seconds in data.figures.groups
        for second in seconds or ("",)
        for tail, _ in data.figures.lists[number]
    ]
    assert sorted(keys) == sorted(made.ledger.figures)
    for figure in made.ledger.figures.values():
        told = derivation(figure)
        assert told["printed"] == figure.printed
        assert [part for _, _, part, _, _ in told["from"]] == [part.figure for part in figure.inputs]
        for (_, _, _, stands, _), given in zip(told["from"], figure.inputs, strict=True):
            assert not given.where or str(given.where) in stands
    places = {reference for reference, _ in found["setpoint.pit.flammable.low"].printed_on}
    assert {"area:pit", "page:setpoints"} <= places
