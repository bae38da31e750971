"""Tables, calendars and lists hold what the ledger says, once each, and lead to files that are really made."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

import pytest

from builder.figures.due_checks import State, due_checks
from builder.pages.blocks import FILE, Fig, Table
from builder.pages.compositions import links_in
from builder.pages.handbook.figure_pages import figure_pages
from builder.pages.handbook.sections import path_of
from builder.pages.outputs import compose_outputs, compose_papers
from builder.pages.tables import table_files
from builder.program.labels import LabelSheet
from tests.shared import computed_with

from .test_handbook import plain, tables


@pytest.fixture(scope="module")
def files(made):
    return {file.path: file for file in table_files(computed_with(made.program, made.ledger))}


def cells(file):
    return [dict(zip(file.columns, row, strict=True)) for row in file.rows]


def test_every_table_is_there_and_even(files):
    assert set(files) == {
        f"data/{name}.csv" for name in ("units", "due", "cylinders", "setpoints", "forecast", "figures")
    }
    for file in files.values():
        assert file.rows
        assert len(set(file.columns)) == len(file.columns)
        assert {len(row) for row in file.rows} == {len(file.columns)}


def test_figures_have_text_and_exact_value(made, files):
    rows = {row["key"]: row for row in cells(files["data/figures.csv"])}
    assert set(rows) == set(made.ledger.figures)
    for key, row in rows.items():
        figure = made.ledger[key]
        assert row["printed"] == figure.printed.replace("\u00a0", " ").replace("\u202f", " ")
        if isinstance(figure.exact, date):
            assert row["decimal"] == figure.exact.isoformat()
        else:
            assert Fraction(int(row["exact numerator"]), int(row["exact denominator"])) == figure.exact


def test_due_has_a_row_for_each_unit_and_check_with_the_day_of_the_ledger(made, files):
    rows = {(row["unit"], row["check"]): row for row in cells(files["data/due.csv"])}
    assert set(rows) == {(due.unit.id, due.check.id) for due in due_checks(made.program, made.ledger)}
    row = rows["d-001", "calibration"]
    assert (row["state"], row["holds until the end of"]) == ("overdue", "30 Sep 2026")
    assert row["holds until the end of, exact"] == made.ledger["unit.d-001.calibration.due"].exact.isoformat()
    assert rows["d-002", "calibration"]["state"] == "never done"
    assert rows["d-001", "bump-test"]["state"] == "before each day's use"


def test_setpoints_give_what_the_instrument_is_set_to(files):
    rows = {(row["area"], row["channel"], row["alarm"]): row for row in cells(files["data/setpoints.csv"])}
    row = rows["pit", "flammable", "low"]
    assert (row["set to"], row["set to, exact"], row["unit"]) == ("2 %LEL", "2", "%LEL")


def test_units_have_the_heads_of_an_inventory(made, files):
    assert files["data/units.csv"].columns[:8] == (
        "id", "model", "serial", "state", "area", "pool", "cylinder", "note",
    )  # fmt: skip
    assert [row["id"] for row in cells(files["data/units.csv"])] == list(made.program.units)


# ---- pages ---------------------------------------------------------------------------


def outputs_of(computed):
    return compose_outputs(computed, compose_papers(computed, str, draft=True))


@pytest.fixture(scope="module")
def full(made):
    from builder.base.quantity import quantity
    from builder.base.where import Given, Where

    where = Where("labels.yaml", 2)
    mm = {name: Given(quantity(value, "mm"), where, f"{value} mm") for name, value in
          {"width": 60, "height": 40, "left": 5, "top": 12, "gap_x": 0, "gap_y": 0}.items()}  # fmt: skip
    sheet = LabelSheet(
        id="small", paper=Given("A4", where, "A4"), columns=Given(3, where, "3"), rows=Given(6, where, "6"),
        where=where, **mm,
    )  # fmt: skip
    program = replace(made.program, labels=(sheet,))
    return program, outputs_of(computed_with(program, made.ledger))


@pytest.fixture(scope="module")
def site(made, full):
    from builder.pages.handbook.compose import compose_pages
    from builder.pages.hrefs import hrefs

    program, outputs = full
    pages = compose_pages(
        computed_with(program, made.ledger), (), lambda _: (), {}, figure_pages(made.ledger.figures), outputs=outputs
    )
    return {page.id: page for page in pages}, hrefs(pages, made.ledger, figure_pages(made.ledger.figures), ())


def test_every_file_is_linked_and_every_link_has_its_file(full, site):
    _, outputs = full
    pages, made = site
    there = {file.path for file in (*outputs.calendars, *outputs.tables, *outputs.log_sheets, *outputs.labels)}
    linked = {target for page in pages.values() for target in links_in(page.blocks) if target.startswith(FILE)}
    assert {made[target] for target in linked} == there
    assert "labels/small.pdf" in there


def test_log_sheets_in_another_language_are_linked_beside_the_first(made, full):
    from builder.base.where import Given, Where
    from builder.pages.handbook.compose import compose_pages

    where = Where("forms.yaml", 1)
    spoken = tuple(Given(language, where, language) for language in ("en", "es"))
    program = replace(full[0], forms=replace(full[0].forms, languages=spoken))
    outputs = outputs_of(computed_with(program, made.ledger))
    paths = {sheet.path for sheet in outputs.log_sheets}
    assert {"forms/bump-test-pit.pdf", "forms/bump-test-pit.es.pdf"} <= paths
    pages = compose_pages(
        computed_with(program, made.ledger), (), lambda _: (), {}, figure_pages(made.ledger.figures), outputs=outputs
    )
    files = next(one for one in pages if one.id == "due:files")
    linked = {target.removeprefix(FILE) for target in links_in(files.blocks) if target.startswith(f"{FILE}forms/")}
    assert linked == paths
    assert {language for language, _ in outputs.spoken()} == {"en", "es"}


def test_by_area_and_by_week_have_each_due_check_once(made, nodes, site):
    pages, _ = site
    due = [
        (one.unit.id, one.check.name) for one in due_checks(made.program, made.ledger) if one.state is not State.DAILY
    ]
    for name in ("due:by-area", "due:by-week"):
        rows = [row for table in tables(nodes, pages[name]) for row in table.rows]
        assert sorted((plain(row[1]), plain(row[2])) for row in rows) == sorted(due)


def test_a_week_is_that_of_iso_8601(made, compose):
    """2027-01-01 is a Friday, so ISO 8601 counts it to week 53 of 2026; the Monday after begins week 1."""
    figure = made.ledger["unit.d-001.calibration.due"]
    for day, week in ((date(2027, 1, 1), "Week 53 of 2026"), (date(2027, 1, 4), "Week 1 of 2027")):
        ledger = replace(made.ledger, figures={**made.ledger.figures, figure.key: replace(figure, exact=day)})
        page = compose(made.program, ledger).page("due:by-week")
        heads = [plain(node.content) for node in page.blocks if not isinstance(node, Table) and hasattr(node, "level")]
        assert heads == ["Before anything else", week]


def test_what_is_overdue_stands_first_whatever_its_week(nodes, site):
    first = tables(nodes, site[0]["due:by-week"])[0]
    assert [plain(row[-1]) for row in first.rows] == ["NEVER DONE: before use", "OVERDUE since "]


def test_only_days_that_run_out_by_the_calendar_are_counted_in_the_browser(nodes, site):
    figures = [node for node in nodes(site[0]["unit:d-001"].blocks) if isinstance(node, Fig)]
    marked = {node.key for node in figures if node.due}
    assert marked == {"unit.d-001.calibration.due"}
    assert "unit.d-001.bump-test.due" in {node.key for node in figures}


def test_the_page_of_a_unit_shows_the_code_of_its_label(nodes, full, site):
    _, outputs = full
    assert any(
        getattr(node, "text", "") == outputs.label_codes["d-001"] for node in nodes(site[0]["unit:d-001"].blocks)
    )


def d_001(block):
    return getattr(block, "key", "").startswith("unit.d-001.")


def test_derivations_name_the_log_sheets_and_labels_that_print_a_figure(made, full):
    from builder.pages.handbook.compose import compose_pages

    program, outputs = full
    elsewhere = {key: (f"{FILE}{path}",) for path, keys in outputs.prints().items() for key in keys}
    pages = compose_pages(
        computed_with(program, made.ledger),
        (),
        lambda _: (),
        {},
        figure_pages(made.ledger.figures),
        outputs=outputs,
        printed_elsewhere=elsewhere,
    )
    told = [page for page in pages if page.id.startswith("figures:") and any(map(d_001, page.blocks))]
    assert told
    assert all(f"{FILE}labels/small.pdf" in set(links_in(page.blocks)) for page in told)


def test_a_check_called_like_a_list_does_not_take_its_page():
    for name in ("by-area", "by-week", "files"):
        assert path_of(f"check:{name}") != path_of(f"due:{name}")


def test_a_later_day_changes_states_and_no_due_day(made):
    later = replace(made.ledger["handbook.as-of"], exact=date(2026, 11, 25) + timedelta(days=900))
    ledger = replace(made.ledger, figures={**made.ledger.figures, later.key: later})
    assert [due.day for due in due_checks(made.program, ledger)] == [
        due.day for due in due_checks(made.program, made.ledger)
    ]
