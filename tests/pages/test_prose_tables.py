"""Heads of tables in prose: links are words that lead on, figures are refused."""

from __future__ import annotations

from dataclasses import replace

from builder.base.where import Given, Where
from builder.load.markdown import readable_prose
from builder.pages.blocks import Table, Text
from builder.pages.compositions import Page
from builder.pages.handbook.explained import with_terms
from builder.pages.prose import ProseContext, prose_blocks, unresolved_keys
from builder.program.faults import Faults
from builder.program.prose import judge_prose


def table_of(head, made):
    titles = {"area:pit": "Valve pit"}
    context = ProseContext(ledger=made.ledger, titles=lambda reference: titles.get(reference, reference))
    nodes, _ = readable_prose(f"{head}\n|---|---|\n| a | b |\n", Where("pages/one.md", 5))
    (table,) = prose_blocks(nodes, context)
    assert isinstance(table, Table)
    return table


def test_a_link_in_a_head_is_its_words_and_leads_where_it_says(made):
    for link, words in (("[](area:pit)", "Valve pit"), ("[the pit](area:pit)", "the pit")):
        table = table_of(f"| Alarm | In {link} |", made)
        assert table.columns == ("Alarm", f"In {words}")
        assert table.explained == ((1, "area:pit"),)


def test_a_link_of_the_author_stays_when_words_are_explained(made):
    table = table_of("| Span | In [](area:pit) |", made)
    (page,) = with_terms([Page(id="page:one", path="one.html", title="One", section="home", blocks=(table,))])
    assert page.blocks[0].explained == ((1, "area:pit"),)
    assert page.blocks[0].rows == (((Text("a"),), (Text("b"),)),)


def test_a_figure_in_a_head_is_refused_with_its_line():
    faults = Faults()
    nodes, _ = readable_prose(
        "| Alarm | {setpoint.pit.flammable.low} |\n|---|---|\n| a | b |\n", Where("pages/one.md", 5)
    )
    judge_prose(nodes, faults)
    (problem,) = faults.problems
    assert str(problem.where) == "pages/one.md:5"
    assert "head of a table" in problem.found


def test_a_key_that_no_figure_has_is_told_with_its_line_and_the_nearest(made):
    where = Where("pages/one.md", 7)
    quoted = tuple(Given(key, where, key) for key in ("gas.methane.lel", "gas.methane.lell"))
    (problem,) = unresolved_keys(replace(made.program, quoted=quoted), made.ledger)
    assert (problem.where, "gas.methane.lel" in problem.nearest) == (where, True)
    assert "'gas.methane.lell'" in problem.found
