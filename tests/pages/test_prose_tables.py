"""Heads of tables in prose: links are words that lead on, figures are refused."""

from __future__ import annotations

from builder.base.where import Where
from builder.load.markdown import readable_prose
from builder.pages.blocks import Page, Table, Text
from builder.pages.handbook.explained import with_terms
from builder.pages.prose import ProseContext, prose_blocks


def table_of(head, made):
    titles = {"area:pit": "Valve pit"}
    context = ProseContext(ledger=made.ledger, titles=lambda reference: titles.get(reference, reference))
    nodes, _ = readable_prose(f"{head}\n|---|---|\n| a | b |\n", Where("pages/one.md", 5))
    (table,) = prose_blocks(nodes, context)
    assert isinstance(table, Table)
    return table, context


def test_a_link_in_a_head_is_its_words_and_leads_where_it_says(made):
    for link, words in (("[](area:pit)", "Valve pit"), ("[the pit](area:pit)", "the pit")):
        table, context = table_of(f"| Alarm | In {link} |", made)
        assert table.columns == ("Alarm", f"In {words}")
        assert table.explained == ((1, "area:pit"),)
        assert context.problems == []


def test_a_link_of_the_author_stays_when_words_are_explained(made):
    table, _ = table_of("| Span | In [](area:pit) |", made)
    (page,) = with_terms([Page(id="page:one", path="one.html", title="One", section="home", blocks=(table,))])
    assert page.blocks[0].explained == ((1, "area:pit"),)
    assert page.blocks[0].rows == (((Text("a"),), (Text("b"),)),)


def test_a_figure_in_a_head_is_refused_with_its_line(made):
    _, context = table_of("| Alarm | {setpoint.pit.flammable.low} |", made)
    (problem,) = context.problems
    assert str(problem.where) == "pages/one.md:5"
    assert "head of a table" in problem.found
