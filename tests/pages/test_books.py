"""Books as plain data: what stands in them, in which order, and what paper leaves out."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from builder import pipeline
from builder.base.errors import ContentError
from builder.base.where import Given, Where
from builder.figures.compute import compute
from builder.pages.blocks import Axis, Chart, Fig, Heading, Link, Paragraph, Strong, Table, Text
from builder.pages.books.book import BookChapter
from builder.pages.books.compose import compose_books
from builder.pages.books.condensed import by_channels, condensed, said_once
from builder.pages.books.index import MOST, index_of
from builder.pages.books.selection import FORMS, OVERVIEWS, surely_sound
from builder.pages.compositions import Page, figures_in
from builder.pages.handbook.uses import USES
from builder.pages.outputs import Outputs
from builder.program.books import BookSpec, ChapterSpec
from tests.conftest import DEMO
from tests.each import each
from tests.pages.conftest import AS_OF, SITES
from tests.shared import composed_once, computed_with

HERE = Where("books.yaml", 3)


def given(text):
    return Given(text, HERE, text)


def spec(*chapters):
    made = tuple(ChapterSpec(title=given(title), pages=tuple(map(given, pages))) for title, pages in chapters)
    return BookSpec(id="own", title=given("Own book"), purpose=given("For us."), chapters=made, where=HERE)


@pytest.fixture(scope="module")
def books(program, made):
    def composed(*specs, areas=1):
        asked = replace(program, books=specs or None)
        if areas > 1:
            pit = program.areas["pit"]
            more = {f"pit-{number}": replace(pit, id=f"pit-{number}") for number in range(2, areas + 1)}
            asked = replace(asked, areas={"pit": pit, **more})
        return compose_books(computed_with(asked, compute(program, AS_OF).ledger), (), made.pages, Outputs())

    return composed


def ids(book):
    return [[page.id for page in chapter.pages] for chapter in book.chapters]


def test_a_site_that_says_nothing_has_three_books(books):
    field, bench, reference = books(areas=2)
    assert [book.path for book in (field, bench, reference)] == [
        "books/field.pdf", "books/bench.pdf", "books/reference.pdf"
    ]  # fmt: skip
    assert "opening:pit" in ids(field)[0]
    assert any(name == "overview:bottles" for chapter in ids(bench) for name in chapter)
    assert any(name.startswith("gas:") for chapter in ids(reference) for name in chapter)
    every = {name for book in (field, bench, reference) for chapter in ids(book) for name in chapter}
    assert not {name for name in every if name.startswith(("figures:", "unit:", "record:", "units-in:"))}
    assert all(book.changes.id == "overview:changes" for book in (field, bench, reference))


def test_a_site_of_one_area_that_says_nothing_has_one_book_with_what_is_needed_on_the_spot(books, program):
    (book,) = books()
    assert book.path == "books/handbook.pdf"
    every = [name for chapter in ids(book) for name in chapter]
    assert ids(book)[0] == ["overview:areas", "opening:pit", "page:setpoints"]
    assert {f"procedure:{name}" for name in program.procedures} < set(every)
    assert {f"model:{name}" for name in program.models} < set(every)
    assert len(every) == len(set(every))


def test_all_of_a_kind_are_those_that_the_book_names_nowhere_else(books, program):
    first = next(iter(program.gases))
    (own,) = books(spec(("Others", ["gas:*"]), ("One", [f"gas:{first}"])))
    assert ids(own)[:2] == [[f"gas:{name}" for name in program.gases if name != first], [f"gas:{first}"]]


def test_a_derivation_is_printed_on_request(books, made):
    name = next(page.id for page in made.pages if page.id.startswith("figures:"))
    (own,) = books(spec(("Derivations", [name])))
    assert ids(own)[0] == [name]


@pytest.mark.parametrize(
    ("asked", "said"),
    [(["procedure:bumb-test"], "bumb-test"), (["record:*"], "nothing stands in the book 'own'")],
    ids=["unknown", "empty"],
)
def test_a_book_of_what_is_not_there_is_refused_with_its_line(books, asked, said):
    with pytest.raises(ContentError, match=said) as error:
        books(spec(("Chapter", asked)))
    assert "books.yaml:3" in str(error.value)


# ---- told without composing pages ------------------------------------------------------


@pytest.mark.parametrize("folder", [DEMO, SITES / "minimal", SITES / "faults"], ids=lambda folder: folder.name)
def test_all_that_has_a_title_has_a_page_except_cards(folder):
    composed = composed_once(folder, AS_OF)
    made = {page.id for page in composed.single}
    missing = pipeline._titled(composed.judged.program).keys() - made
    assert missing == {f"card:{card.id}" for card in composed.cards}


def test_the_overviews_are_made_of_any_site(books):
    """This one has no forms; a chapter without a page would be left out."""
    (own,) = books(spec(("Overviews", sorted(OVERVIEWS))))
    assert ids(own)[0] == sorted(OVERVIEWS)


def test_the_forms_are_in_a_book_where_the_site_has_some(monkeypatch):
    composed = composed_once(DEMO, AS_OF)
    assert FORMS in {page.id for book in composed.books for page in book.pages()}
    monkeypatch.setattr(pipeline, "compose", lambda *_, **__: pytest.fail("pages were composed without a need"))
    pipeline.check_books(composed.judged)


@pytest.mark.parametrize(
    ("asked", "sure"),
    [
        (["area:pit", "gas:*"], True),
        (["overview:areas"], True),
        (["area:pit", "area:pitt"], False),
        (["gas:*"], False),
        (["figures:gas.methane"], False),
    ],
    ids=["named", "overview", "unknown", "only a kind", "perhaps"],
)
def test_only_a_book_that_is_surely_sound_needs_no_pages(program, asked, sure):
    known = frozenset(pipeline._titled(program))
    asking = replace(program, books=(spec(("Chapter", asked)),))
    assert surely_sound(asking, known) is sure
    assert surely_sound(replace(program, books=None), known)


def test_an_opening_says_what_to_carry_what_to_do_and_whom_to_call(books, program, nodes):
    pages = {page.id: page for book in books() for page in book.pages()}
    page = pages["opening:pit"]
    heads = ["".join(part.text for part in block.content) for block in page.blocks if isinstance(block, Heading)]
    assert heads[0].startswith("Carry")
    assert heads.index("The display does not see") < heads.index(f"It sounds: {page.title}")
    printed = set(figures_in(page.blocks))
    actions = [part.text for node in nodes(page.blocks) if isinstance(node, Strong) for part in node.content
               if isinstance(part, Text)]  # fmt: skip
    area = program.areas["pit"]
    for channel in program.channels_in(area):
        entry = program.setpoint("pit", channel)
        for name, alarm in entry.alarms.items():
            assert f"setpoint.pit.{channel}.{name}" in printed
            assert alarm.action.value in actions
    for contact in program.site.contacts:
        assert contact.call.value in actions
    assert not any(isinstance(node, Chart) for node in nodes(page.blocks))


def test_every_action_of_an_alarm_stands_inside_the_cover(books, program, nodes):
    inside = books()[0].inside
    said = {node.text for node in nodes(inside.blocks) if isinstance(node, Text)}
    for entry in program.setpoints:
        for alarm in entry.alarms.values():
            assert not program.areas_of(entry) or alarm.action.value in said


# ---- for paper ------------------------------------------------------------------------

CHART = Chart("Line", "Up.", Axis("x", "ppm"), Axis("y", "ppm"))
LADDER = Chart("Ladder", "Levels.", None, Axis("y", "ppm"))


def t(text):
    return (Text(text),)


def page(*blocks, name="gas:one"):
    return Page(id=name, path="gases/one.html", title="One", section="gases", blocks=blocks)


def test_paper_leaves_out_straight_lines_empty_tables_and_what_uses_a_thing():
    kept = Paragraph(t("kept"))
    blocks = (
        Heading(2, t("Charts")), CHART, Heading(2, t("Ladder")), LADDER, Heading(2, t("Empty")), Table(("A", "B"), ()),
        Heading(2, t("Cylinders that hold it")), kept, Heading(3, t("Below")), kept, Heading(2, t("Kept")), kept,
        Heading(2, t(USES)), kept,
    )  # fmt: skip
    assert condensed(page(*blocks)).blocks == (Heading(2, t("Ladder")), LADDER, Heading(2, t("Kept")), kept)


def test_what_pages_of_a_kind_say_alike_only_the_first_of_a_chapter_says():
    alike, own = Paragraph(t("TWA is an average.")), Paragraph(t("Two cells."))
    first, second = page(alike, own, name="model:a"), page(alike, name="model:b")
    other = replace(page(alike, name="procedure:c"), lead=t("For all."))
    made = tuple(said_once((replace(first, lead=t("What it is.")), second, other)))
    assert [one.blocks for one in made] == [(alike, own), (), (alike,)]
    assert [one.lead for one in made] == [(), (), t("For all.")]


def test_windows_of_all_checks_of_a_bottle_stand_in_one_row(books, program):
    (bottles,) = (one for one in books()[0].pages() if one.id == "overview:bottles")
    tables = [block for block in bottles.blocks if isinstance(block, Table) and block.columns[0] == "Sensor"]
    names = [check.name for check in program.checks.values()]
    for block in tables:
        assert block.columns[:2] == ("Sensor", "Expected display")
        assert all(head.removesuffix(" passes") in names for head in block.columns[2:])
        assert len({row[0] for row in block.rows}) == len(block.rows)
    assert {key.rpartition(".")[2] for key in figures_in(tuple(tables))} == {"expected", "from", "to"}


def test_a_heading_that_links_lead_to_stays():
    target = Heading(2, t("Empty"), "empty")
    assert condensed(page(target, Table(("A",), ()))).blocks == (target,)


def test_a_wide_table_is_parted_by_columns_and_loses_none():
    columns = tuple(f"c{n}" for n in range(17))
    rows = tuple(tuple(t(f"{row}.{n}") for n in range(17)) for row in range(3))
    parts = condensed(page(Table(columns, rows, caption="All", numeric=(1, 16)))).blocks
    assert all(len(part.columns) <= 8 for part in parts)
    assert all(part.columns[0] == "c0" and part.rows[2][0] == t("2.0") for part in parts)
    assert tuple(name for part in parts for name in part.columns[1:]) == columns[1:]
    assert tuple(cell for part in parts for cell in part.rows[1][1:]) == rows[1][1:]
    assert [part.columns[at] for part in parts for at in part.numeric] == ["c1", "c16"]
    assert [part.caption for part in parts] == [f"All, part {n} of 3" for n in (1, 2, 3)]


def alarm_table(channels):
    """Cells of the longest alarms that instruments show, as the page of setpoints has them."""
    keys = ("low", "high", "twa", "stel")
    names = ("1st\u00a0alarm ", "2nd\u00a0alarm ", "TWA\u00a0", "STEL\u00a0")
    parts = [(Text(name), Fig(f"set.{key}"), Text(", ")) for name, key in zip(names, keys, strict=True)]
    cell = tuple(node for part in parts for node in part)[:-1]
    columns = ("Area", *(f"c{n}" for n in range(channels)))
    rows = tuple((t(f"Area {row}"), *(cell for _ in range(channels))) for row in range(3))
    return Table(columns, rows, caption="All areas and channels", kind="matrix")


def test_paper_never_parts_the_name_of_an_alarm_from_its_number():
    on_screen = alarm_table(8)
    parts = condensed(page(on_screen)).blocks
    cells = [cell for part in parts for row in part.rows for cell in row[1:]]
    assert len(cells) == 3 * 8
    names = [node.text for cell in cells for node, after in pairwise(cell) if isinstance(after, Fig)]
    assert len(names) == 4 * len(cells)
    assert {name for name in names if " " in name} == set()
    assert {name.replace("\u00a0", " ") for name in names} == {"1st alarm ", "2nd alarm ", "TWA ", "STEL "}
    assert {node.text for cell in cells for node in cell if isinstance(node, Text)} - set(names) == {", "}
    assert tuple(name for part in parts for name in part.columns[1:]) == on_screen.columns[1:]


def test_paper_has_the_setpoints_in_a_section_for_each_part_of_their_table_and_loses_none():
    channels = [f"c{n}" for n in range(8)]
    own = {name: (Heading(2, t(name), name), Paragraph(t(f"why {name}"))) for name in channels}
    first, remark, end = Paragraph(t("found")), Paragraph(t("rounded")), (Heading(2, t("Who")), Paragraph(t("lead")))
    told = (block for name in channels for block in own[name])
    whole = page(first, alarm_table(8), remark, *told, *end, name="page:setpoints")
    one, other = by_channels(condensed(replace(whole, lead=t("What is set."))))
    parts = condensed(page(alarm_table(8))).blocks
    for section, part, begins, ends in ((one, parts[0], (first,), ()), (other, parts[1], (), end)):
        mine = (block for name in part.columns[1:] for block in own[name])
        assert section.blocks == (*begins, part, remark, *mine, *ends)
        assert section.title == f"One: {', '.join(part.columns[1:])}"
    assert one.id == "page:setpoints"
    assert [section.lead for section in (one, other)] == [t("What is set."), ()]
    assert BookChapter(title="All", pages=(one, other)).parts() == ((one,), (other,))
    few = condensed(page(first, alarm_table(4), remark, *end, name="page:setpoints"))
    assert list(by_channels(few)) == [few]
    assert list(by_channels(replace(whole, id="page:other"))) == [replace(whole, id="page:other")]


@each(("count", "sizes"), [(1, [1]), (3, [3]), (4, [2, 2]), (6, [3, 3]), (7, [3, 2, 2])])
def test_gases_are_parted_evenly_and_other_things_stay_together(count, sizes):
    for kind, wanted in (("gas", sizes), ("model", [count])):
        pages = tuple(page(name=f"{kind}:g{n}") for n in range(count))
        parts = BookChapter(title="All", pages=pages).parts()
        assert [len(part) for part in parts] == wanted
        assert tuple(one for part in parts for one in part) == pages


def test_an_index_has_the_own_page_of_a_thing_and_those_that_name_it():
    link = Paragraph((Link("gas:one", t("One")), Link("term:twa", t("average"))))
    pages = (page(Paragraph(t("x"))), *(page(link, name=f"area:a{n}") for n in range(MOST + 3)))
    entries = {entry.title: entry for entry in index_of(pages, {"gas:one": "One gas", "gas:two": "Two"})}
    assert entries["One gas"].main == "gas:one"
    assert entries["One gas"].others == tuple(f"area:a{n}" for n in range(MOST))
    assert "Two" not in entries
    (both,) = (one for one in index_of(pages[:2], {"gas:one": "Alike", "area:a0": "alike"}) if one.title == "Alike")
    assert (both.main, both.others) == ("gas:one", ("area:a0",))
    assert [entry.title.casefold() for entry in index_of(pages, {})] == sorted(
        entry.title.casefold() for entry in index_of(pages, {})
    )
