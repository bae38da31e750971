from __future__ import annotations

import dataclasses
import io
import re
from collections import Counter
from itertools import pairwise

import pytest
from pypdf import PdfReader

from builder.base.errors import RenderError
from builder.pages.blocks import (
    Axis,
    Chart,
    Fig,
    Heading,
    ItemList,
    Line,
    Link,
    Notice,
    Page,
    Paragraph,
    Table,
    Text,
)
from builder.pages.handbook.uses import USES
from builder.render.book import book_css, book_html
from builder.render.markup import CAUTION, INVENTED, Section
from builder.render.pdf import PdfEngine
from builder.render.references import settled
from tests.render.samples import figure
from tests.render_html.reading import Reader


def book(sample, pages=None, **changes):
    values = {
        "figures": sample.figures,
        "hrefs": sample.hrefs,
        "sections": sample.sections,
        "facts": sample.facts(),
    } | changes
    return book_html(sample.pages if pages is None else pages, **values)


@pytest.fixture(scope="module")
def text(sample):
    return book(sample)


@pytest.fixture(scope="module")
def printed(sample):
    with PdfEngine() as engine:
        document = settled(engine, book(sample, facts=sample.facts(draft=True)), [book_css("A4")])
        data = engine.write(document, "Handbook", "en")
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def contents(text):
    return [(entry.children[0].attributes["href"], entry.text.strip()) for entry in Reader(text).all("p", cls="entry")]


IN_ORDER = ["page:home", "area:wet-well", "page:setpoints", "procedure:bump-test", "page:detectors", "page:figures"]


def test_contents_list_every_page_in_the_order_of_the_sections(sample, text):
    titles = {page.id: page.title for page in sample.pages}
    assert contents(text) == [(f"#{identifier}", titles[identifier]) for identifier in IN_ORDER]
    assert [chapter.attributes["id"] for chapter in Reader(text).all("section", cls="chapter")] == IN_ORDER
    parts = [part.text for part in Reader(text).all("p", cls="part") if part.inside("nav")]
    assert parts == ["Start", "Work areas", "The program", "Evidence"]


def test_every_internal_link_has_its_place_and_no_other_link_is_left(text):
    read = Reader(text)
    links = [link.attributes["href"] for link in read.all("a")]
    assert len(links) > 40
    assert not [link for link in links if not link.startswith("#") or link[1:] not in read.ids()]
    assert len(read.ids()) == len(set(read.ids()))
    assert "#page:figures--limit.wet-well.flammable" in links
    assert "#area:wet-well" in links


def test_what_the_book_does_not_have_is_plain_words(sample):
    pages = [dataclasses.replace(p, in_pdf=p.id not in {"page:figures", "area:wet-well"}) for p in sample.pages]
    read = Reader(book(sample, pages))
    assert not read.all("a", cls="fig")
    assert len(read.all("span", cls="fig")) > 40
    assert [link.text for link in read.all("a", cls="ref")][:1] == ["alarm setpoints"]
    assert "the wet well" in read.one("html").text
    assert "area:wet-well" not in read.ids()


def test_headings_are_one_deeper_than_on_the_site(text):
    read = Reader(text)
    levels = [int(element.tag[1]) for element in read.elements if re.fullmatch("h[1-6]", element.tag)]
    assert levels[:2] == [1, 2]
    assert levels.count(1) == 1
    assert levels.count(2) == 1 + len(IN_ORDER)
    assert set(levels) == {1, 2, 3, 4}
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_the_cover_says_what_this_is(sample, text):
    cover = Reader(text).one("section", "cover").text
    for words in (
        "Portable gas detection handbook",
        "Example Works",
        "Revision 3",
        "2026-11-25",
        "Safety lead",
        CAUTION,
        INVENTED,
    ):
        assert words in cover
    plain = book(sample, facts=sample.facts(invented=False, owner=""))
    assert INVENTED not in plain
    assert "Kept by" not in plain


def test_the_watermark_is_on_drafts_only(sample, text):
    draft = Reader(book(sample, facts=sample.facts(draft=True)))
    assert draft.one("div", "watermark").text == "Draft"
    assert "draft" not in Reader(text).one("html").text.lower()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"blocks": (Paragraph((Fig("nothing"),)),)}, "nothing"),
        ({"blocks": (Paragraph((Link("area:nowhere", (Text("x"),)),)),)}, "area:nowhere"),
        ({"section": "nowhere"}, "nowhere"),
        ({"id": "page:home"}, "twice"),
        ({"id": "book-cover"}, "twice"),
        ({"path": "index.html"}, "index.html"),
        ({"blocks": (Notice("note", (Heading(2, (Text("a"),), "a"),)), Heading(2, (Text("b"),), "a"))}, "twice"),
    ],
    ids=["figure", "target", "section", "id", "reserved", "path", "anchor"],
)
def test_what_cannot_be_bound_is_refused(sample, change, said):
    extra = Page(id="page:extra", path="extra.html", title="Extra", section="home", blocks=())
    with pytest.raises(RenderError, match=said):
        book(sample, (*sample.pages, dataclasses.replace(extra, **change)))


def test_a_link_to_an_anchor_that_no_page_has_is_refused(sample):
    hrefs = sample.hrefs | {"figure:limit.wet-well.flammable": "figures/index.html#gone"}
    with pytest.raises(RenderError, match="gone"):
        book(sample, hrefs=hrefs)


def test_anchors_inside_lists_and_notices_are_found(sample):
    deep = ItemList(((Notice("note", (Heading(2, (Text("a"),), "deep"),)),),))
    page = Page(
        id="page:extra",
        path="extra.html",
        title="Extra",
        section="home",
        blocks=(deep, Paragraph((Link("page:deep", (Text("x"),)),))),
    )
    read = Reader(book(sample, (page,), hrefs=sample.hrefs | {"page:deep": "extra.html#deep"}))
    assert read.one("a", "ref").attributes["href"] == "#page:extra--deep"
    assert "page:extra--deep" in read.ids()


def test_hostile_titles_stay_text(sample):
    bad = "<script>x</script>\"'"
    page = Page(id="page:extra", path="extra.html", title=bad, section="s", blocks=(), lead=(Text(bad),))
    facts = sample.facts(name=bad, title=bad, revision=bad, as_of=bad, owner=bad, draft=True)
    read = Reader(book(sample, (page,), sections=(Section("s", bad),), facts=facts))
    assert not read.all("script")
    for place in ("h1", "h2", "title", "td", "a"):
        assert any(bad in element.text for element in read.all(place)), place


def test_paper_is_one_of_two():
    assert "size: A4" in book_css("A4")
    assert "size: Letter" in book_css("Letter")
    with pytest.raises(RenderError, match="A5"):
        book_css("A5")


def test_the_engine_sets_the_book_with_page_numbers_that_are_true(printed):
    for title in ("Wet well", "Alarm setpoints", "Detectors in service", "How each figure was made"):
        entry = re.search(rf"(\d+)\s+{re.escape(title)}", printed[1])
        assert entry, title
        assert title in printed[int(entry.group(1)) - 1].split("Page ")[0]
    for number, page in enumerate(printed[1:], start=2):
        assert f"Page {number} of {len(printed)}" in page
        words = " ".join(page.split())
        assert CAUTION in words
        assert "Draft, not released" in words
        assert INVENTED in words


def test_a_list_that_goes_on_counts_on_when_printed(printed):
    (page,) = [page for page in printed if "Repeat the test." in page]
    assert re.search(r"12\s+Repeat the test\.", page)


def test_links_in_prose_tell_their_page_on_paper(printed):
    assert re.search(r"the wet well \(page 4\)", printed[2])


# ---- how pages follow each other -------------------------------------------------------------------

ROWS = tuple(((Text(f"{n} ppm"),), (Text(f"{n * 2} mg/m3"),)) for n in range(1, 6))
NUMBERS = Table(("By volume", "By mass"), ROWS, caption="The numbers", numeric=(0, 1))
DRAWN = Chart(
    "Volume to mass",
    "Up, then left.",
    Axis("By volume", "ppm"),
    Axis("By mass", "ppm"),
    (Line("Methane", tuple((f"p.{n}", f"p.{n}") for n in (1, 2))),),
)
POINTS = {f"p.{n}": figure(f"p.{n}", str(n), "ppm") for n in (1, 2)}
USED = Table(
    ("", ""), (((Text("Gases"),), (Link("page:home", (Text("first"),)), Text("; "), Text("c-7"))),), kind="facts"
)


def chapter(name, *blocks, section="home"):
    return Page(id=name, path=f"{name.replace(':', '-')}.html", title=name, section=section, blocks=blocks)


def test_only_parts_areas_and_procedures_begin_a_sheet_of_paper(sample):
    extra = (chapter("gas:one"), chapter("procedure:one"), chapter("cylinder:one"))
    read = Reader(book(sample, (*sample.pages, *extra), hrefs=sample.hrefs))
    sheets = {e.attributes["id"]: "sheet" in e.attributes["class"].split() for e in read.all("section", cls="chapter")}
    assert sheets == {
        "page:home": True,
        "gas:one": False,
        "procedure:one": True,
        "cylinder:one": False,
        "area:wet-well": True,
        "page:setpoints": True,
        "procedure:bump-test": True,
        "page:detectors": False,
        "page:figures": True,
    }


@pytest.mark.parametrize("pair", [(DRAWN, NUMBERS), (NUMBERS, DRAWN)], ids=["chart first", "numbers first"])
def test_a_chart_and_its_numbers_stand_side_by_side(sample, pair):
    read = Reader(book(sample, (chapter("gas:one", *pair),), figures=sample.figures | POINTS))
    beside = read.one("div", "beside")
    assert [child.tag for child in beside.children] == [{Chart: "figure", Table: "div"}[type(block)] for block in pair]


@pytest.mark.parametrize(
    "table",
    [
        dataclasses.replace(NUMBERS, rows=ROWS * 3),
        dataclasses.replace(NUMBERS, columns=("a", "b", "c"), rows=tuple((*row, row[0]) for row in ROWS)),
        dataclasses.replace(NUMBERS, rows=()),
    ],
    ids=["too high", "too wide", "empty"],
)
def test_other_tables_stand_below_a_chart(sample, table):
    read = Reader(book(sample, (chapter("gas:one", DRAWN, table),), figures=sample.figures | POINTS))
    assert read.all("div", cls="beside") == []


def test_what_uses_a_thing_is_a_few_lines_of_the_same_words(sample):
    used = (Heading(2, (Text(USES),)), USED)
    read = Reader(book(sample, (sample.pages[0], chapter("gas:one", Paragraph((Text("x"),)), *used))))
    assert " ".join(read.one("p", "uses").text.split()) == f"{USES} Gases: first; c-7."
    assert USES not in {element.text for element in read.all("h3")}


def test_without_users_the_sentence_stays(sample):
    none = (Heading(2, (Text(USES),)), Paragraph((Text("Nothing names it."),)))
    read = Reader(book(sample, (chapter("gas:one", *none),)))
    assert USES in {element.text for element in read.all("h3")}
    assert read.all("p", cls="uses") == []


def lines(words):
    return Paragraph((Text(words),))


@pytest.mark.parametrize("draft", [True, False])
def test_the_head_of_a_page_names_the_chapter_that_stands_at_its_top(sample, draft):
    """Numbers below a head that names the next chapter could be read as that chapter's."""
    first = chapter("gas:first", *(lines(f"first {n}") for n in range(70)))
    second = chapter("gas:second", *(lines(f"second {n}") for n in range(70)))
    with PdfEngine() as engine:
        html = book(sample, (first, second), facts=sample.facts(draft=draft))
        data = engine.write(settled(engine, html, [book_css("A4")]), "Handbook", "en")
    seen = []
    for page in PdfReader(io.BytesIO(data)).pages[2:]:
        text = page.extract_text()
        body = re.findall(r"\b(first|second) \d+", text)
        named = Counter(re.findall(r"gas:(first|second)", text))
        named.subtract(
            name for name in ("first", "second") if f"{name} 0" in text
        )  # its own title, over its first line
        (head,) = named.elements()
        seen.append((body[0], body[-1], head))
    assert ("first", "second", "first") in seen
    assert [head for top, _, head in seen if head != top] == []
