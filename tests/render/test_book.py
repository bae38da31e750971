"""Printed books: chapters laid out by themselves, joined, and judged page by page."""

from __future__ import annotations

import io
import re
from concurrent.futures import Future
from dataclasses import replace
from types import SimpleNamespace

import pytest
from pypdf import PdfReader
from pypdf.generic import IndirectObject

from builder.base.errors import FitError, RenderError
from builder.pages.blocks import Fig, Heading, ItemList, Link, Paragraph, Table, Text
from builder.pages.books.book import Book, BookChapter
from builder.pages.books.condensed import condensed
from builder.pages.books.index import index_of
from builder.pages.compositions import Page
from builder.render.book import Bindery, Printing
from builder.render.book_rules import PageRules
from builder.render.jobs import Workshop
from builder.render.leaves import LOOKED_UP, TIGHT
from builder.render.markup import CAUTION, SiteFacts
from builder.render.printed_pages import Piece, PrintedPage
from builder.render.templates import fill
from builder.render.typeset import typeset
from tests.render.samples import FIGURES, figure
from tests.render.test_pdfua import complaints

ABOUT = SiteFacts(
    name="Example Works", title="Gas handbook", draft=True, revision="Revision 3", as_of="25 Nov 2026", owner="Lead"
)
HREFS = {
    "area:pit": "areas/pit.html",
    "procedure:bump": "procedures/bump.html",
    "gas:methane": "gases/methane.html",
    "page:far": "far.html",
    **{f"figure:{key}": f"figures/all.html#{key}" for key in (*FIGURES, "long")},
}


def t(*parts):
    return tuple(Text(part) if isinstance(part, str) else part for part in parts)


def page(name, title, *blocks, path=""):
    kind, _, rest = name.partition(":")
    return Page(id=name, path=path or f"{kind}s/{rest}.html", title=title, section="home", blocks=blocks)


def lines(count, words="A line of plain text."):
    return tuple(Paragraph(t(f"{number} {words}")) for number in range(count))


ROWS = tuple((t(f"row {n}"), (Fig("setpoint.oxygen.low"),)) for n in range(4))
BUMP = page(
    "procedure:bump",
    "Bump test",
    Paragraph(t("Read ", Link("area:pit", t("the pit")), ' first. H2S isn\'t "seen"; C-101 - C3H8.')),
    Paragraph(t("Again ", Link("area:pit", t("the pit")), " and ", Link("gas:methane", t("methane")), ".")),
    ItemList(((Paragraph(t("Step")),), (Paragraph(t("Step")),)), ordered=True, kind="steps", start=4),
)
PIT = page("opening:pit", "The pit", Table(("Alarm", "Set to"), ROWS), Heading(2, t("It sounds: the pit"), "it-sounds"),
           Paragraph(t("Leave.")), path="areas/pit.html")  # fmt: skip
SHAFT = page(
    "opening:shaft",
    "The shaft",
    Paragraph(t("As ", Link("procedure:bump", t("bumped")), ".")),
    Heading(2, t("It sounds: the shaft"), "it-sounds"),
    Paragraph(t("Out.")),
    path="areas/shaft.html",
)
LIST = page("overview:areas", "All areas", *lines(3), path="areas/index.html")
NAMES = {"area:pit": "The pit", "gas:methane": "Methane", "procedure:bump": "Bump test", "area:shaft": "The shaft"}


def book(*chapters, name="field", inside=None):
    made = tuple(BookChapter(title=title, pages=pages) for title, pages in chapters)
    changes = page("overview:changes", "Changes", *lines(1))
    pages = [one for chapter in made for one in chapter.pages]
    return Book(id=name, title="Field book", purpose="For all.", chapters=made, inside=inside, changes=changes,
                index=index_of(pages, NAMES))  # fmt: skip


def bound(*books, about=ABOUT, paper="A4", hrefs=HREFS, figures=FIGURES):
    bindery = Bindery(books, Printing(figures=figures, hrefs=hrefs, about=about, paper=paper))
    with Workshop() as shop:
        bindery.start(shop)
        return bindery.bound(shop)


INSIDE = page("inside:cover", "In an emergency", Paragraph(t("Call 4400.")), path="inside")
WHOLE = book(("Procedures", (BUMP,)), ("Areas", (LIST, PIT, SHAFT)), inside=INSIDE)


@pytest.fixture(scope="module")
def made():
    return bound(WHOLE)


@pytest.fixture(scope="module")
def reader(made):
    return PdfReader(io.BytesIO(made[0]["books/field.pdf"]))


@pytest.fixture(scope="module")
def texts(reader):
    return dict(zip(reader.page_labels, (" ".join(one.extract_text().split()) for one in reader.pages), strict=True))


def test_pages_are_numbered_within_their_chapter_and_chapters_begin_on_the_right(reader):
    assert reader.page_labels == [
        "i", "ii", "iii", "iv", "1-1", "1-2", "2-1", "2-2", "2-3", "2-4", "2-5", "2-6", "3-1", "3-2"
    ]  # fmt: skip


def lines_printed(count, kind="gas", setting=None):
    """How many lines of a chapter of so many stand on each of its pages; in one setting alone where it is given."""
    with pytest.MonkeyPatch.context() as patched:
        if setting is not None:
            patched.setattr("builder.render.book_rules.THIN", 0)
            for name, close in (("TIGHT", TIGHT), ("LOOKED_UP", LOOKED_UP)):
                patched.setattr(f"builder.render.leaves.{name}", close if setting == "close" else "")
        files, *_ = bound(book(("C", (page(f"{kind}:far", "Far", *lines(count), path="far.html"),))))
    read = PdfReader(io.BytesIO(files["books/field.pdf"]))
    found = zip(read.page_labels, read.pages, strict=True)
    counted = (one.extract_text().count("A line of plain text") for label, one in found if label.startswith("1-"))
    return [count for count in counted if count]


def test_a_chapter_of_procedures_is_set_closer_where_a_few_lines_would_have_a_page_of_their_own():
    assert lines_printed(20, "procedure") == [20]
    assert len(lines_printed(38, "procedure", "wide")) == 2
    assert lines_printed(38, "procedure") == [38]
    assert lines_printed(50, "procedure") == lines_printed(50, "procedure", "wide"), "what fits in no setting"


def test_a_chapter_to_look_something_up_is_set_wider_where_a_few_lines_would_have_a_page_of_their_own():
    close, wide = lines_printed(48, setting="close"), lines_printed(48, setting="wide")
    assert close[1] < wide[1]
    assert lines_printed(48) == wide
    assert lines_printed(38) == lines_printed(38, setting="close") == [38]
    assert lines_printed(50) == lines_printed(50, setting="close"), "enough stands on its last page"
    assert lines_printed(40) == lines_printed(40, setting="close"), "wider it would end thin as well"


def test_changes_follow_the_contents_on_the_same_page(texts):
    assert "Contents" in texts["iii"]
    assert "Changes" in texts["iii"]


def test_an_area_lies_open_on_two_pages(texts):
    assert "2.2 The pit" in texts["2-2"]
    assert "It sounds: the pit Leave." in texts["2-3"]
    assert "2.3 The shaft" in texts["2-4"]
    assert "It sounds: the shaft Out." in texts["2-5"]


def test_the_number_of_a_page_is_printed_on_it(texts):
    printed = [
        label for label in texts if texts[label] and "-" in label and re.search(rf"(?<!\d){label}\b", texts[label])
    ]
    assert printed == ["1-1", "2-1", "2-2", "2-3", "2-4", "2-5", "3-1"]


def test_a_reference_names_the_section_once_a_page_and_a_link_leads_there(reader, texts):
    assert "Read the pit (2.2) first." in texts["1-1"].replace("\N{NO-BREAK SPACE}", " ")
    assert texts["1-1"].count("(2.2)") == 1
    assert "methane." in texts["1-1"]  # it stands in no book
    leads = [note.get_object()["/Dest"] for note in reader.pages[4]["/Annots"]]
    assert leads == ["opening:pit", "opening:pit"]
    assert reader.get_destination_page_number(reader.named_destinations["opening:pit"]) == 7


def test_who_hears_a_link_is_told_where_it_leads_by_number_and_title(reader):
    """ISO 14289-1, 7.18.5: a link has words of its own; those of the bookmarks are what the contents print."""
    notes = [note.get_object() for one in reader.pages for note in one.get("/Annots", ())]
    said = {str(note["/Dest"]).partition("--")[0]: note["/Contents"] for note in notes}
    assert said == {
        "chapter-1": "1 Procedures", "procedure:bump": "1.1 Bump test", "chapter-2": "2 Areas",
        "overview:areas": "2.1 All areas", "opening:pit": "2.2 The pit", "opening:shaft": "2.3 The shaft",
        "chapter-3": "3 Index",
    }  # fmt: skip


def test_contents_and_index_tell_counted_pages(texts):
    assert "2.2 The pit 2-2" in texts["iii"]
    assert "2.3 The shaft 2-4" in texts["iii"]
    assert "The pit 2-2, 1-1" in texts["3-1"]
    assert "Methane 1-1" in texts["3-1"]


def test_what_stands_around_the_text_is_on_every_page(texts):
    for label, text in texts.items():
        assert "Draft" in text, label
        if "-" in label:
            assert "Field book · Example Works · Revision 3" in text
            assert f"{label[0]} · " in text
    released = bound(WHOLE, about=replace(ABOUT, draft=False))[0]["books/field.pdf"]
    assert all("Draft" not in one.extract_text() for one in PdfReader(io.BytesIO(released)).pages)


def test_the_cover_says_what_this_is_and_inside_it_stands_whom_to_call(texts):
    for words in ("Field book", "For all.", "Revision 3", "25 Nov 2026", "Lead", typeset(CAUTION)):
        assert words in texts["i"]
    assert "Call 4400." in texts["ii"]


def test_text_is_set_with_true_quotes_dashes_and_subscripts(texts):
    assert "H₂S isn’t “seen”; C-101 – C₃H₈." in texts["1-1"]


def test_a_list_that_goes_on_counts_on(texts):
    assert re.search(r"\b4 Step 5 Step", texts["1-1"])


def test_bookmarks_are_chapters_with_their_sections(reader):
    def told(marks):
        return [told(one) if isinstance(one, list) else one["/Title"] for one in marks]

    assert told(reader.outline) == [
        "Field book", ["In an emergency", "Contents", "Changes"],
        "1 Procedures", ["1.1 Bump test"],
        "2 Areas", ["2.1 All areas", "2.2 The pit", "2.3 The shaft"],
        "3 Index",
    ]  # fmt: skip


def test_every_tag_finds_its_page_and_every_page_its_tags(reader):
    """ISO 32000-1, 14.7.4.4: the number tree leads from the marks of each page to their elements."""
    root = reader.trailer["/Root"]["/StructTreeRoot"]
    nums = root["/ParentTree"]["/Nums"]
    parents = dict(zip(nums[::2], nums[1::2], strict=True))
    assert list(parents) == sorted(parents)
    for one in reader.pages:
        if "/StructParents" in one:
            for tag in parents[one["/StructParents"]]:
                assert tag.get_object()["/Pg"].get_object() == one.get_object()
        for note in one.get("/Annots", ()):
            tag = parents[note.get_object()["/StructParent"]].get_object()
            assert tag["/S"] == "/Link"
    heads = []
    for node in _nodes(root["/K"]):
        heads += [node["/ID"]] if "/ID" in node else []
        assert all(head in heads for head in node.get("/A", {}).get("/Headers", ()))
    assert len(heads) == len(set(heads)) > 5


def _nodes(kids):
    for kid in kids if isinstance(kids, list) else [kids]:
        found = kid.get_object() if isinstance(kid, IndirectObject) else kid
        if isinstance(found, dict) and "/S" in found:
            yield found
            yield from _nodes(found.get("/K", []))


def test_a_joined_book_passes_the_checker(made, tmp_path):
    assert complaints(made[0]["books/field.pdf"], tmp_path) == []


def test_a_book_has_the_same_bytes_again(made):
    assert bound(WHOLE)[0] == made[0]


def test_letter_paper_and_no_other(reader):
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == pytest.approx([595.28, 841.89], abs=0.01)
    letter = PdfReader(io.BytesIO(bound(book(("Areas", (LIST,))), paper="Letter")[0]["books/field.pdf"]))
    assert {tuple(map(float, one.mediabox[2:])) for one in letter.pages} == {(612.0, 792.0)}
    with pytest.raises(RenderError, match="A5"):
        bound(WHOLE, paper="A5")


def test_another_book_is_named_with_its_section():
    far = replace(
        book(("Far", (page("page:far", "Far page", *lines(1), path="far.html"),)), name="far"), title="Far book"
    )
    here = page("procedure:bump", "Bump", Paragraph(t("See ", Link("page:far", t("there")), ".")))
    files, *_ = bound(book(("Here", (here,))), far)
    text = PdfReader(io.BytesIO(files["books/field.pdf"])).pages[2].extract_text()
    assert "See there (far book 1.1)." in text.replace("\N{NO-BREAK SPACE}", " ")


# ---- what is refused, and what is told --------------------------------------------------


def test_a_table_that_leaves_the_page_is_an_error_with_chapter_table_and_millimetres():
    wide = Table(tuple("ABCDEFGHIJKL"), (tuple(t("nobreak" * 3) for _ in "ABCDEFGHIJKL"),), caption="Twelve")
    with pytest.raises(FitError) as error:
        bound(book(("Chapter", (page("page:far", "Far", wide, path="far.html"),))))
    reached = re.findall(r"Field book, 1 Chapter, page 1-1: table 'Twelve' reaches ([0-9.]+) mm out of its type area",
                         str(error.value))  # fmt: skip
    # A sans face is about half as wide as high: 12 words of 21 letters of 8.5 pt (3 mm) want about 380 mm of 170.
    assert len(reached) == 1
    assert 100 < float(reached[0]) < 400


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_alarms_of_many_channels_fit_with_each_number_beside_its_name(paper):
    names = ("1st\u00a0alarm ", "2nd\u00a0alarm ", "TWA\u00a0", "STEL\u00a0")
    values = [figure(f"alarm.{n}", text, "ppm") for n, text in enumerate(("4000", "15000", "2500", "15000"))]
    cell = t(*(part for name, one in zip(names, values, strict=True) for part in (name, Fig(one.key), ", ")))[:-1]
    rows = tuple((t(name), *[cell] * 8) for name in ("Digester gas compressor room", "Valve chambers and manholes"))
    on_screen = Table(("Area", *["Carbon dioxide"] * 8), rows, caption="All", kind="matrix")
    one = condensed(page("page:far", "Far", on_screen, path="far.html"))
    known = {value.key: value for value in values}
    files, *_ = bound(book(("C", (one,))), paper=paper, figures=known,
                      hrefs={**HREFS, **{f"figure:{key}": f"figures/all.html#{key}" for key in known}})  # fmt: skip
    text = "\n".join(one.extract_text() for one in PdfReader(io.BytesIO(files["books/field.pdf"])).pages)
    lines = [line for line in re.sub("[\u00a0\u202f]", " ", text).splitlines() if "alarm" in line or "TWA" in line]
    assert "".join(lines).count("2nd alarm 15000 ppm") == 2 * 8
    assert [line for line in lines if re.search(r"(alarm|TWA|STEL)\s*$", line)] == []


def test_a_word_too_long_for_its_column_is_an_error():
    tall = Table(("Gas", "x" * 160), ((t("methane"), t("1")),), caption="Wide heads")
    with pytest.raises(FitError, match=r"table 'Wide heads' reaches [0-9.]+ mm out of its"):
        bound(book(("Chapter", (page("page:far", "Far", tall, path="far.html"),))))


def test_a_long_german_name_that_leaves_its_column_is_an_error_with_its_table():
    """A compound of 63 letters that was law until 2013 (BGBl. I S. 2172), in a table of as many columns as fit."""
    name = "Rindfleischetikettierungsüberwachungsaufgabenübertragungsgesetz"
    rows = ((t("Pit"), *(t(name) for _ in range(7))),)
    areas = Table(("Area", *("Gas",) * 7), rows, caption="Areas")
    with pytest.raises(FitError, match=r"page 1-1: table 'Areas' reaches [0-9.]+ mm out of its type area"):
        bound(book(("Chapter", (page("page:far", "Far", areas, path="far.html"),))))


def test_letter_takes_no_more_pages_than_a4():
    """It is 17.6 mm shorter (ISO 216, ANSI/ASME Y14.1), so its type is set closer."""
    table = Table(("A", "B"), tuple((t(f"row {n}"), t("words")) for n in range(60)))
    long = book(("Text", (page("page:far", "Far", *lines(45, "Words in a row. " * 12), table, path="far.html"),)))
    counts = {
        paper: len(PdfReader(io.BytesIO(bound(long, paper=paper)[0]["books/field.pdf"])).pages)
        for paper in ("A4", "Letter")
    }
    assert 3 < counts["Letter"] <= counts["A4"]


def piece(kind="text", left=30.0, top=30.0, right=80.0, bottom=34.0, **marks):
    return Piece(kind, (left, top, right, bottom), **{"words": "words", **marks})


AREA = (25.0, 20.0, 195.0, 277.0)
FULL = piece(bottom=270.0)
ANEW = PrintedPage(AREA, (piece(heading=True), FULL))
ON = PrintedPage(AREA, (FULL,))


@pytest.mark.parametrize(
    ("pages", "faults", "notes"),
    [
        ((ON, ON), "", ""),
        ((PrintedPage(AREA, (FULL, piece(right=195.2))),), "", ""),
        ((PrintedPage(AREA, (FULL, piece(right=197.5))),), "page 4-1: 'words' reaches 2.5 mm out of its type area", ""),
        ((PrintedPage(AREA, (FULL, piece(left=20.0))),), "reaches 5.0 mm out of its type area", ""),
        ((PrintedPage(AREA, (piece(bottom=280.0),)),), "reaches 3.0 mm", ""),
        ((PrintedPage(AREA, (FULL, piece("table", right=215.0, table="Units"))),), "table 'Units' reaches 20.0 mm", ""),
        (
            (PrintedPage(AREA, (FULL, piece(table="Units", cell=(30.0, 20.0, 70.0, 40.0)))),),
            "10.0 mm out of its column",
            "",
        ),
        ((ON, PrintedPage(AREA, (FULL, piece(heading=True)))), "", "page 4-2: the heading 'words' stands alone"),
        ((PrintedPage(AREA, (FULL, piece(table="Units", table_head=True))),), "", "the head of table 'Units'"),
        ((PrintedPage(AREA, (piece(),)), ON), "", "page 4-1: under a third"),
        ((PrintedPage(AREA, (piece(),)), ANEW), "", ""),
        ((ON, PrintedPage(AREA, (piece(),))), "", ""),
        ((PrintedPage(AREA, ()), ON), "", "nothing stands on it"),
    ],
)
def test_pages_are_judged(pages, faults, notes):
    found = PageRules(name="Field book, 4 Areas", label="4-").judge(SimpleNamespace(printed_pages=pages))
    for told, wanted in ((found.faults, faults), (found.notes, notes)):
        assert len(told) == bool(wanted)
        assert wanted in "".join(told)


@pytest.mark.parametrize("count", [43, 47])
def test_the_engine_keeps_headings_with_what_follows(count):
    blocks = (*lines(count), Heading(2, t("Stranded")), Table(("A", "B"), ((t("x"), t("y")),) * 3))
    assert bound(book(("Chapter", (page("page:far", "Far", *blocks, path="far.html"),))))[1] == []


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (Paragraph((Fig("nothing"),)), "nothing"),
        (Paragraph((Link("area:nowhere", t("x")),)), "area:nowhere"),
        (Heading(2, t("a"), "a b"), "space"),
    ],
    ids=["figure", "target", "anchor"],
)
def test_what_cannot_be_bound_is_refused(change, said):
    with pytest.raises(RenderError, match=said):
        bound(book(("Chapter", (page("page:far", "Far", change, path="far.html"),))))


def test_a_page_that_stands_twice_is_refused():
    with pytest.raises(RenderError, match="twice"):
        bound(book(("One", (LIST,)), ("Two", (LIST,))))


def test_hostile_titles_stay_text():
    bad = "<script>x</script>&"
    about = replace(ABOUT, name=bad, title=bad, revision=bad, as_of=bad, owner=bad)
    files, *_ = bound(book((bad, (page("page:far", bad, Paragraph(t(bad)), path="far.html"),))), about=about)
    texts = [one.extract_text() for one in PdfReader(io.BytesIO(files["books/field.pdf"])).pages]
    assert bad in texts[0]
    assert bad in texts[4]


def test_a_long_figure_may_break_and_a_short_one_may_not():
    figures = {**FIGURES, "long": figure("long", "1")}
    figures["long"] = replace(figures["long"], text="1 of many words in a row, all of them long")
    block = Paragraph((Fig("long"), Text(" and "), Fig("setpoint.oxygen.low")))
    files, *_ = bound(book(("C", (page("page:far", "Far", block, path="far.html"),))), figures=figures)
    text = PdfReader(io.BytesIO(files["books/field.pdf"])).pages[2].extract_text()
    assert "19.5\N{NO-BREAK SPACE}%vol" in text
    assert "many words" in text


# ---- what is kept ----------------------------------------------------------------------


class Kept(dict):
    """A store in memory."""

    def put(self, key, data):
        self[key] = data


def documents(book, store, monkeypatch, **changed):
    """The documents of a book's chapters, and how many of them were filled anew."""
    filled = []

    def noted(name, **values):
        filled.append(name)
        return fill(name, **values)

    monkeypatch.setattr("builder.render.book.fill", noted)
    printing = Printing(**{"figures": FIGURES, "hrefs": HREFS, "about": ABOUT, "paper": "A4"} | changed)
    bindery = Bindery([book], printing)
    bindery.start(SimpleNamespace(store=store, start=lambda jobs: [Future() for _ in jobs]))
    return [one for book in bindery._books for _, parts in book.parted for one in parts], len(filled)


def test_chapters_are_filled_anew_where_what_they_print_changed_and_are_then_as_from_nothing(monkeypatch):
    store, other = Kept(), replace(BUMP, title="Bump tests")
    low = "setpoint.oxygen.low"
    cases = [
        ("first", WHOLE, {}, 4),
        ("nothing changed", WHOLE, {}, 0),
        ("a figure of the areas", WHOLE, {"figures": FIGURES | {low: replace(FIGURES[low], text="19.6")}}, 1),
        ("a title", replace(WHOLE, chapters=(replace(WHOLE.chapters[0], pages=(other,)), WHOLE.chapters[1])), {}, 1),
        ("what every page says", WHOLE, {"about": replace(ABOUT, revision="Revision 4")}, 4),
        ("where a link leads", WHOLE, {"hrefs": HREFS | {"area:pit": "areas/shaft.html"}}, 1),
        ("the first again", WHOLE, {}, 0),
    ]
    for name, shown, changed, anew in cases:
        found, filled = documents(shown, store, monkeypatch, **changed)
        assert found == documents(shown, Kept(), monkeypatch, **changed)[0], name
        assert filled == anew, name


def test_what_changes_in_one_area_changes_no_document_but_that_of_its_opening(monkeypatch):
    left = replace(SHAFT, blocks=(*SHAFT.blocks, Paragraph(t("Count heads."))))
    changed = replace(WHOLE, chapters=(WHOLE.chapters[0], replace(WHOLE.chapters[1], pages=(LIST, PIT, left))))
    before, after = (documents(one, Kept(), monkeypatch)[0] for one in (WHOLE, changed))
    assert [one == other for one, other in zip(before, after, strict=True)] == [True, True, True, False]


@pytest.fixture(scope="module")
def long():
    """A book whose list of areas takes two pages, and the first opening four."""
    first, wide = replace(LIST, blocks=lines(60)), replace(PIT, blocks=(*PIT.blocks, *lines(70)))
    made = bound(book(("Procedures", (BUMP,)), ("Areas", (first, wide, SHAFT))))
    return PdfReader(io.BytesIO(made[0]["books/field.pdf"]))


def test_numbers_go_on_behind_an_opening_that_takes_more_than_two_pages(long):
    said = {
        label: " ".join(one.extract_text().split()) for label, one in zip(long.page_labels, long.pages, strict=True)
    }
    [begins] = [label for label in said if label.startswith("2-") and "2.3 The shaft" in said[label]]
    chapter, number = begins.split("-")
    assert (chapter, int(number) % 2) == ("2", 0), "an opening begins on a left-hand page"
    assert int(number) > 6
    assert begins in said[begins]
    assert "It sounds: the shaft Out." in said[f"2-{int(number) + 1}"]
    assert f"The shaft {begins}" in re.sub(r"[ .]+", " ", " ".join(said[label] for label in said if "-" not in label))


def test_an_opening_a_few_lines_too_long_is_set_closer_so_that_its_pages_face_each_other():
    wide = replace(PIT, blocks=(*lines(33), *PIT.blocks))
    made, notes, *_ = bound(book(("Areas", (LIST, wide, SHAFT))))
    labels = PdfReader(io.BytesIO(made["books/field.pdf"])).page_labels
    assert notes == []
    assert [label for label in labels if label.startswith("1-")] == [f"1-{number}" for number in range(1, 7)]


def gas(name, count, *blocks):
    return page(f"gas:{name}", f"Gas {name}", *lines(count), *blocks, path=f"gases/{name}.html")


def left_ends(one, words):
    """Millimetres from the left edge to each piece of text with these words."""
    found = []

    def note(text, around, at, *_):
        if words in text:
            found.append((at[4] * around[0] + around[4]) / 72 * 25.4)

    one.extract_text(visitor_text=note)
    return found


def test_parts_of_gases_follow_each_other_page_by_page():
    """The third part has another number of pages than the first, which is presumed of all."""
    linked = Paragraph(t("See ", Link("gas:far", t("far")), "."))
    lengths = {"a": (45, linked), "b": (1,), "c": (45,), "d": (1,), "e": (45,), "f": (1,), "methane": (45,)}
    gases = [gas(name, *more) for name, more in lengths.items()]
    far = Heading(2, t("Far"), "far")
    hrefs = HREFS | {"gas:far": "gases/methane.html#far"}
    before = replace(gases[5], path=gases[6].path)  # as setpoints have it, whose one page has several sections here
    whole = book(("Gases", (*gases[:5], before, replace(gases[6], blocks=(far, *gases[6].blocks)))))
    read = PdfReader(io.BytesIO(bound(whole, hrefs=hrefs)[0]["books/field.pdf"]))
    said = {
        label: " ".join(one.extract_text().split()) for label, one in zip(read.page_labels, read.pages, strict=True)
    }
    numbers = [label for label in said if label.startswith("1-")]
    written = [label for label in numbers if "plain text" in said[label] and label in said[label]]
    assert written == [f"1-{number}" for number in range(1, len(written) + 1)]
    assert len(numbers) - len(written) == len(written) % 2, "only the last page may stay empty"
    begins = {name: next(label for label in numbers if f"Gas {name}" in said[label]) for name in lengths}
    for name in ("d", "f"):
        assert f"Gas {name}" in said[begins[name]].partition("A line")[0], "a part begins a page"
    place = read.named_destinations["gas:methane--far"]
    assert read.page_labels[read.get_destination_page_number(place)] == begins["methane"]
    assert "See far (1.7)." in " ".join(said.values()).replace("\N{NO-BREAK SPACE}", " ")
    for name, label in begins.items():
        left = min(left_ends(read.pages[read.page_labels.index(label)], f"Gas {name}"))
        # The wide margin holds the holes, on the left of a right-hand page.
        assert left == pytest.approx(25 if int(label.removeprefix("1-")) % 2 else 15, abs=15), label


def test_sections_of_all_parts_stand_below_the_bookmark_of_their_chapter(long):
    titles = [[one.title for one in part] if isinstance(part, list) else part.title for part in long.outline]
    assert ["2.1 All areas", "2.2 The pit", "2.3 The shaft"] in titles
