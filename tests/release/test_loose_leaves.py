"""A binder is brought up to date with the changed chapters alone, and the sheet before them says which.

What must hold is told by the task of loose leaves itself (common practice, no source): a page that stays must say word
for word what the new book says, and bear the revision that the new contents name for it.
"""

from __future__ import annotations

import io
import json
import shutil
from datetime import date

import pytest
from pypdf import PdfReader

from builder.base.errors import ArchiveError
from builder.history.chapters import ChapterTold, Exchange, exchanges, read_chapters, since
from builder.release.release import release
from builder.verify.verify import verify
from tests.release.release_kit import Released, asked, edit
from tests.shared import changed, made_once, root_of, workshop
from tests.trust.long import turn

BOOKS = """books:
  - id: field
    title: Field book
    for: Whoever goes in.
    chapters:
      - {title: Areas, pages: [overview:areas, "opening:*"]}
      - {title: Gases, pages: ["gas:*"]}
      - {title: Procedures, pages: ["procedure:*"]}
  - id: bench
    title: Bench book
    for: Whoever looks after detectors.
    chapters:
      - {title: Test gas, pages: [overview:bottles]}
      - {title: Detectors, pages: ["model:*"]}
"""
THIRD_DAY, FOURTH_DAY, FIFTH_DAY = date(2026, 12, 3), date(2026, 12, 9), date(2026, 12, 10)


def three(once, folder):
    """After revision 2: one with these books, one with another setpoint, one where nothing changed but the day."""
    for name in ("content", "site"):
        shutil.copytree(once.parent / name, folder / name)
    content, site = folder / "content", folder / "site"
    (content / "books.yaml").write_text(BOOKS, encoding="utf-8")
    with workshop() as shop:
        release(content, site, THIRD_DAY, asked(3, THIRD_DAY), shop=shop)
        edit(content / "setpoints.yaml", "high: {true: 10 %LEL", "high: {true: 9 %LEL")
        release(content, site, FOURTH_DAY, asked(4, FOURTH_DAY), shop=shop)
        release(content, site, FIFTH_DAY, asked(5, FIFTH_DAY), shop=shop)


@pytest.fixture(scope="module")
def binder(once, tmp_path_factory):
    folder = made_once(root_of(tmp_path_factory), "released-leaves", lambda made: three(once.content, made))
    yield Released(content=folder / "content", out=folder / "site")
    assert changed(folder) == [], "a test changed a release that others read"


def pages(binder, number, path):
    """Number of a page -> its words."""
    reader = PdfReader(io.BytesIO((binder.out / f"revisions/{number}/{path}").read_bytes()))
    words = (" ".join(page.extract_text().split()) for page in reader.pages)
    return dict(zip(reader.page_labels, words, strict=True))


def told(binder, number):
    return json.loads((binder.out / f"revisions/{number}/chapters.json").read_bytes())["books"]


def chapter_numbers(found):
    """The chapters whose pages are in a PDF, the index left out."""
    numbers = sorted({int(label.split("-")[0]) for label in found if "-" in label})
    return numbers[:-1]


def test_with_the_first_books_every_chapter_is_put_in_and_nothing_taken_out(binder):
    found = pages(binder, 3, "books/changed/field.pdf")
    assert "All pages are new" in found["sheet 1"]
    assert "take out nothing" not in found["sheet 1"]
    assert chapter_numbers(found) == [1, 2, 3]
    assert {chapter["since"] for book in told(binder, 3).values() for chapter in book} == {3}


def test_one_setpoint_that_changed_changes_the_chapters_that_print_it_alone(binder):
    """It stands on the opening of its area, and on the ladder of its gas."""
    before, now = told(binder, 3), told(binder, 4)
    assert [one["since"] for one in now["field"]] == [4, 4, 3]
    assert [one["since"] for one in now["bench"]] == [3, 3]
    found = pages(binder, 4, "books/changed/field.pdf")
    assert chapter_numbers(found) == [1, 2]
    sheet, (old, new) = found["sheet 1"], (one["field"][0]["pages"] for one in (before, now))
    assert f"1 Areas 1-1 to 1-{old} 1-1 to 1-{new}" in sheet
    assert "2 Gases" in sheet
    assert sheet.split("These chapters stay:")[1].startswith(" 3 Procedures, 3-1")
    assert chapter_numbers(pages(binder, 4, "books/changed/bench.pdf")) == []


@pytest.mark.parametrize("name", ["field", "bench"])
def test_every_link_of_the_changed_pages_leads_somewhere_there_or_in_the_whole_book(binder, name):
    """Of the contents most lead to pages that stay (ISO 32000-1, 12.6.4.3: to a place in another file)."""
    folder = binder.out / "revisions" / "4" / "books" / "changed"
    reader = PdfReader(folder / f"{name}.pdf")
    led = {"here": 0, "whole": 0}
    for note in (note.get_object() for one in reader.pages for note in one.get("/Annots", ())):
        inside = "/Dest" in note
        assert inside or note["/A"]["/S"] == "/GoToR"
        goal = reader if inside else PdfReader(folder / note["/A"]["/F"]["/F"])
        assert (note["/Dest"] if inside else note["/A"]["/D"]) in goal.named_destinations
        led["here" if inside else "whole"] += 1
    assert led["whole"] > 0
    assert led["here"] > 0


def test_a_release_that_changes_no_page_asks_for_contents_and_index_alone(binder):
    assert [one["since"] for one in told(binder, 5)["field"]] == [4, 4, 3]
    assert chapter_numbers(pages(binder, 5, "books/changed/field.pdf")) == []


def test_the_pages_that_stay_are_those_of_the_new_book_foot_and_all(binder):
    """A binder of revision 3 with the changed pages of 4 and 5 put in holds the book of revision 5."""
    for name in ("field", "bench"):
        held = pages(binder, 3, f"books/{name}.pdf")
        for number in (4, 5):
            leaves = pages(binder, number, f"books/changed/{name}.pdf")
            out = set(map(str, chapter_numbers(leaves)))
            index = str(len(told(binder, number)[name]) + 1)
            held = {label: text for label, text in held.items()
                    if "-" in label and label.split("-")[0] not in out | {index}}  # fmt: skip
            held |= {label: text for label, text in leaves.items() if not label.startswith("sheet")}
        assert held == pages(binder, 5, f"books/{name}.pdf")


def test_contents_name_the_revision_that_pages_bear(binder):
    found = pages(binder, 5, "books/field.pdf")
    contents = next(text for label, text in found.items() if "-" not in label and "Contents" in text)
    count = told(binder, 5)["field"][0]["pages"]
    assert f"1 Areas 1-1 {count} pages, Revision 4" in contents
    assert "Revision 4" in found["1-1"]
    assert "Revision 3" in found["3-1"]
    assert "Revision 5" in found["4-1"]  # the index


def test_the_page_of_differences_leads_to_the_changed_pages(binder):
    page = (binder.out / "differences.html").read_text(encoding="utf-8")
    assert 'href="books/changed/field.pdf"' in page


@turn(0, 3)
def test_verify_says_the_changed_pages_again(binder, tmp_path):
    copy = shutil.copytree(binder.out, tmp_path / "site")
    assert verify(copy).faults == []


CHAPTER = ChapterTold(number=1, title="Areas", pages=4, prints="a", since=1)


def test_what_is_exchanged_where_chapters_come_and_go():
    one, two = CHAPTER, ChapterTold(number=2, title="Gases", pages=1, prints="b", since=1)
    longer = ChapterTold(number=1, title="Areas", pages=6, prints="c", since=0)
    assert exchanges((), (one,)) == (Exchange(title="1 Areas", out="", into="1-1 to 1-4"),)
    assert exchanges((one, two), (longer,)) == (
        Exchange(title="1 Areas", out="1-1 to 1-4", into="1-1 to 1-6"),
        Exchange(title="2 Gases", out="2-1", into=""),
    )
    assert exchanges((one, two), (one, two)) == ()
    assert since(two, (one, two), 7) == 1
    assert since(longer, (one, two), 7) == 7


def test_a_release_without_chapters_has_none_and_a_spoilt_list_is_refused():
    def missing(name):
        raise FileNotFoundError(name)

    assert read_chapters(missing, "revisions/1") == {}
    with pytest.raises(ArchiveError, match=r"revisions/1/chapters\.json: not of the form"):
        read_chapters(lambda _: b'{"format": 2, "books": {"field": [{"number": 1}]}}', "revisions/1")
