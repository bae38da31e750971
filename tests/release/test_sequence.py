"""Pages of a paper against the runs they must have: small papers made up by hand, and what each fault is called."""

from __future__ import annotations

import pytest

from builder.render.said import said
from builder.verify.cells import in_cells
from builder.verify.sequence import in_pages, same_runs

FORM = {"runs": "10 1 2 3 4", "loose": False, "heads": ["10"], "foot": "25 2026", "numbered": True}
TWO_PAGES = [["10", "1", "2", "25", "2026", "1", "2"], ["10", "3", "4", "25", "2026", "2", "2"]]
BOOK = {
    "runs": "→b 7 7 →b 8",
    "loose": False,
    "top": "9",
    "foot": "2026",
    "numbered": True,
    "chapters": [{"id": "a", "title": "Pit 7"}, {"id": "b", "title": "Well"}],
    "drawings": [],
}
PLACES = {"a": 1, "b": 2}
BOOK_PAGES = [["3"], ["7", "7", "9", "7", "2026", "2", "3"], ["3", "8", "9", "2026", "3", "3"]]


def changed(pages, page, at, run):
    return [[run if (n, m) == (page, at) else old for m, old in enumerate(runs)] for n, runs in enumerate(pages)]


def test_a_head_may_stand_again_on_each_page_of_its_table():
    assert in_pages(FORM, TWO_PAGES, {}) == ""
    alone = {**FORM, "heads": []}
    assert in_pages(alone, TWO_PAGES, {}).startswith("page 2: number 1 on it reads 10 3 4")


@pytest.mark.parametrize("page", [0, 1])
@pytest.mark.parametrize("at", range(7))
def test_no_run_of_a_form_can_be_another(page, at):
    assert in_pages(FORM, changed(TWO_PAGES, page, at, "5"), {}).startswith(f"page {page + 1}: number {at + 1} ")


def test_a_page_too_few_is_missed():
    assert in_pages(FORM, [[*TWO_PAGES[0][:-1], "1"]], {}) == "after its last page 3 4 is missing"


@pytest.mark.parametrize(("page", "at"), [(n, m) for n, runs in enumerate(BOOK_PAGES) for m in range(len(runs))])
def test_no_run_of_a_book_can_be_another(page, at):
    assert in_pages(BOOK, BOOK_PAGES, PLACES) == ""
    assert in_pages(BOOK, changed(BOOK_PAGES, page, at, "5"), PLACES) != ""


@pytest.mark.parametrize(("number", "right"), [("003", True), ("2", False), ("4", False), ("30", False)])
def test_a_reference_names_its_page_with_or_without_zeros(number, right):
    assert (in_pages(BOOK, changed(BOOK_PAGES, 2, 0, number), PLACES) == "") is right


def test_a_reference_to_a_place_that_is_not_there_is_a_fault():
    assert in_pages(BOOK, BOOK_PAGES, {"a": 1}) != ""


def test_numbers_of_lists_may_stand_apart_from_their_lines_but_must_stand():
    html = '<ol><li>At 5</li><li>Go</li></ol><ol style="counter-reset: list-item 6"><li>Tell 9</li></ol>'
    found = said(html)
    assert (found.runs, found.loose) == (["1", "5", "2", "7", "9"], True)
    entry = {"runs": " ".join(found.runs), "loose": True}
    assert in_pages(entry, [["5", "9", "1", "2", "7"]], {}) == ""
    assert in_pages(entry, [["5", "9", "1", "2", "8"]], {}) != ""


def test_what_a_document_says_besides_its_words_is_told():
    html = (
        "<head><title>Not 1</title><style>p { width: 2mm }</style></head><svg><title>Not 3</title><text>4</text></svg>"
        '<div class="run-foot"><p>Of 25 Nov</p></div><table><thead><tr><th>From 6</th></tr></thead></table>'
        '<p>See <a class="ref" href="#b">it</a>.</p><p class="uses"><a class="ref" href="#c">that</a></p>'
    )
    found = said(html, references=True)
    assert (found.runs, found.heads, found.foot) == (["4", "6", "→b"], ["6"], ["25"])
    assert said(html, drawings=False).runs == ["6"]


def test_runs_of_columns_on_their_head_may_be_joined_but_no_digit_may_be_another():
    cells, frame, runs = ["3 6 5 9"], "2026", ["3", "6", "5", "9", "2026"]

    def why(page):
        return in_cells(cells, frame, [page], [True]) or same_runs(runs, page, joined=True)

    for page in (runs, ["36", "59", "2026"], ["3659", "2026"]):
        assert why(page) == ""
        for at in range(len(page)):
            for place, digit in enumerate(page[at]):
                other = page[at][:place] + str((int(digit) + 1) % 10) + page[at][place + 1 :]
                assert why([*page[:at], other, *page[at + 1 :]])
    assert why(["36", "5", "92026"])
    assert in_cells(cells, frame, [["36", "59", "2026"]], [False])
    assert same_runs(runs, ["36", "59", "2026"])
