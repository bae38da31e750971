from __future__ import annotations

import dataclasses
import re
from itertools import pairwise
from urllib.parse import urlsplit

import pytest

from builder.base.errors import RenderError
from builder.pages.blocks import Absent, Code, Day, Fig, Heading, ItemList, Link, Notice, Paragraph, Strong, Table, Text
from builder.pages.compositions import Page
from builder.render import templates
from builder.render.html import HtmlRenderer
from builder.render.links import relative
from builder.render.markup import CAUTION, INVENTED, NOTICES, Marker
from builder.render.templates import environment, fill, stylesheet
from tests.each import each
from tests.render_html.reading import Reader

HOSTILE = "<script>alert('x')</script>\"'><img src=x onerror=alert(1)>&amp;{{ 7 * 7 }}"


def renderer(sample, **changes):
    values = {
        "figures": sample.figures,
        "hrefs": sample.hrefs,
        "sections": sample.sections,
        "facts": sample.facts(),
    } | changes
    return HtmlRenderer(**values)


def page_of(*blocks, path="notes/one.html", **changes):
    return Page(id="page:one", path=path, title="One", section="home", blocks=blocks, **changes)


def rendered(sample, *blocks, **changes):
    return renderer(sample).render(page_of(*blocks, **changes))


@pytest.fixture(scope="module")
def documents(sample):
    made = renderer(sample, facts=sample.facts(draft=True))
    return {page.path: made.render(page) for page in sample.pages}


# ---- hostile text ----------------------------------------------------------------


def hostile_blocks():
    text = (Text(HOSTILE),)
    inlines = (Text(HOSTILE), Strong(text), Code(HOSTILE), Link("page:home", text), Absent(HOSTILE), Fig("bad"))
    words = (Paragraph(text),)
    return (
        Heading(2, inlines, "here"),
        Paragraph(inlines),
        ItemList(((Paragraph(inlines),), (*words, *words)), ordered=True, kind="steps"),
        ItemList((words,), kind="ticks"),
        Table((HOSTILE, HOSTILE), ((inlines, inlines),), caption=HOSTILE, kind="facts"),
        Table(tuple(HOSTILE for _ in range(5)), (), caption=HOSTILE, empty=HOSTILE),
        *(Notice(kind, words, HOSTILE) for kind in NOTICES),
    )


def test_hostile_text_stays_text_in_every_place(sample):
    bad = dataclasses.replace(
        sample.figures["limit.wet-well.flammable"],
        key="bad",
        text=HOSTILE,
        label=HOSTILE,
        relation=HOSTILE,
        unit=HOSTILE,
    )
    made = renderer(
        sample,
        figures={"bad": bad},
        hrefs=sample.hrefs | {"figure:bad": "figures/index.html#bad"},
        sections=(("home", HOSTILE, "page:home"),),
        facts=sample.facts(
            name=HOSTILE, title=HOSTILE, revision=HOSTILE, as_of=HOSTILE, owner=HOSTILE, language=HOSTILE, draft=True
        ),
    )
    page = page_of(*hostile_blocks(), lead=(Text(HOSTILE),), crumbs=(("page:home", HOSTILE),))
    read = Reader(made.render(dataclasses.replace(page, title=HOSTILE)))
    assert not read.all("script", "img", "style", "iframe")
    assert not [name for element in read.elements for name in element.attributes if name.startswith("on")]
    for place in ("title", "h1", "h2", "caption", "strong", "code", "summary", "footer", "header"):
        expected = "Menu" if place == "summary" else HOSTILE
        assert any(expected in element.text for element in read.all(place)), place
    for cls in ("fig", "absent", "empty", "lead", "menu", "word", "steps", "ticks"):
        found = [element for element in read.elements if cls in element.classes]
        assert found, cls
        assert all(HOSTILE in element.text for element in found), cls
    assert read.one("html").attributes["lang"] == HOSTILE


# ---- links -----------------------------------------------------------------------


@each(
    ("here", "there", "expected"),
    [
        ("index.html", "setpoints.html", "setpoints.html"),
        ("index.html", "areas/wet-well.html", "areas/wet-well.html"),
        ("areas/wet-well.html", "index.html", "../index.html"),
        ("areas/wet-well.html", "areas/tank.html", "tank.html"),
        ("a/b/c.html", "figures/limits.html#limit.a", "../../figures/limits.html#limit.a"),
        ("figures/limits.html", "figures/limits.html#limit.a", "#limit.a"),
        ("figures/limits.html", "figures/limits.html", "limits.html"),
        ("index.html", "odd:name ü.html#a b", "odd%3Aname%20%C3%BC.html#a%20b"),
    ],
)
def test_relative_links(here, there, expected):
    assert relative(here, there) == expected


@pytest.mark.parametrize(
    ("path", "up"), [("one.html", ""), ("notes/one.html", "../"), ("notes/deep/one.html", "../../")]
)
def test_every_link_of_a_page_climbs_as_far_as_the_page_is_deep(sample, path, up):
    key = "limit.wet-well.flammable"
    read = Reader(rendered(sample, Paragraph((Fig(key), Link("area:wet-well", (Text("there"),)))), path=path))
    assert read.one("link").attributes["href"] == f"{up}assets/site.css"
    assert read.one("a", "fig").attributes["href"] == f"{up}figures/index.html#{key}"
    assert next(link for link in read.all("a") if link.text == "there").attributes["href"] == f"{up}areas/wet-well.html"
    menu = [element for element in read.all("a") if element.inside("nav")]
    assert [a.attributes["href"] for a in menu[:2]] == [f"{up}index.html", f"{up}areas/wet-well.html"]


def test_nothing_is_asked_of_anybody_else(documents):
    for path, text in documents.items():
        read = Reader(text)
        links = [e.attributes[name] for e in read.elements for name in ("href", "src") if name in e.attributes]
        assert len(links) > 5
        for link in links:
            parts = urlsplit(link)
            assert not parts.scheme, (path, link)
            assert not parts.netloc, (path, link)
            assert not link.startswith("/"), (path, link)
        assert "http" not in text.replace("http-equiv", ""), path


def test_nothing_is_inline_and_the_policy_forbids_it(documents):
    for text in documents.values():
        read = Reader(text)
        assert not read.all("style", "script")
        assert not [e.tag for e in read.elements if any(a == "style" or a.startswith("on") for a in e.attributes)]
        (policy,) = [e.attributes["content"] for e in read.all("meta") if "http-equiv" in e.attributes]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert "http" not in policy
        assert "*" not in policy


def test_scripts_are_files_of_the_site(sample):
    read = Reader(renderer(sample, scripts=("assets/search.js",)).render(page_of()))
    script = read.one("script")
    assert script.attributes["src"] == "../assets/search.js"
    assert not script.text


BROKEN = {
    "figure": Fig("setpoint.wet-well.flammable.lwo"),
    "link": Link("area:wet-wall", (Text("there"),)),
    "wordless": Link("area:wet-well", ()),
}


@pytest.mark.parametrize("node", BROKEN.values(), ids=BROKEN)
@pytest.mark.parametrize("place", ["paragraph", "strong", "link", "heading", "cell", "item", "notice", "lead"])
def test_an_unknown_figure_or_target_is_refused_wherever_it_stands(sample, node, place):
    inlines = (node,)
    words = (Paragraph(inlines),)
    blocks = {
        "paragraph": words,
        "strong": (Paragraph((Strong(inlines),)),),
        "link": (Paragraph((Link("page:home", inlines),)),),
        "heading": (Heading(2, inlines),),
        "cell": (Table(("A",), ((inlines,),)),),
        "item": (ItemList((words,)),),
        "notice": (Notice("note", words),),
        "lead": (),
    }[place]
    with pytest.raises(RenderError, match=r"page:one"):
        rendered(sample, *blocks, lead=inlines if place == "lead" else ())


def test_a_refusal_names_the_nearest_real_thing(sample):
    with pytest.raises(RenderError, match=re.escape("setpoint.wet-well.flammable.low")):
        rendered(sample, Paragraph((BROKEN["figure"],)))
    with pytest.raises(RenderError, match="area:wet-well"):
        rendered(sample, Paragraph((BROKEN["link"],)))


def test_a_figure_without_a_derivation_page_is_refused(sample):
    key = "limit.wet-well.flammable"
    hrefs = {target: path for target, path in sample.hrefs.items() if target != f"figure:{key}"}
    with pytest.raises(RenderError, match=f"figure:{key}"):
        renderer(sample, hrefs=hrefs).render(page_of(Paragraph((Fig(key),))))


def test_unknown_targets_in_the_frame_are_refused(sample):
    with pytest.raises(RenderError, match="page:nowhere"):
        rendered(sample, crumbs=(("page:nowhere", "Nowhere"),))
    with pytest.raises(RenderError, match="page:nowhere"):
        renderer(sample, sections=(("home", "Home", "page:nowhere"),)).render(page_of())


@each("path", ["", "/etc/passwd", "../up.html", "a/../../up.html", "a//b.html", "#only", "a/./b.html"])
def test_paths_that_leave_the_site_are_refused(sample, path):
    with pytest.raises(RenderError, match="path"):
        renderer(sample, hrefs={"page:x": path})
    with pytest.raises(RenderError, match="path"):
        renderer(sample).render(page_of(path=path))


# ---- figures ---------------------------------------------------------------------


def test_a_figure_prints_relation_number_and_unit_and_leads_to_its_derivation(sample):
    read = Reader(rendered(sample, Paragraph((Fig("limit.wet-well.flammable"),))))
    figure = read.one("a", "fig")
    assert figure.text == "<\u00a010\u00a0%LEL"
    assert figure.attributes["href"].endswith("#limit.wet-well.flammable")


def test_bare_leaves_the_unit_out_and_typographic_units_are_printed(sample):
    key = "gas.methane.lel.g-m3"
    read = Reader(rendered(sample, Paragraph((Fig(key), Fig(key, bare=True), Fig(key, decisive=True)))))
    assert [figure.text for figure in read.all("a", cls="fig")] == ["29.4\u00a0g/m³", "29.4", "29.4\u00a0g/m³"]
    assert [figure.text for figure in read.all("a", cls="decisive")] == ["29.4\u00a0g/m³"]


def test_a_figure_inside_a_link_is_no_second_link(sample):
    inner = (Strong((Fig("limit.wet-well.flammable"),)), Link("page:home", (Text("home"),)))
    read = Reader(rendered(sample, Paragraph((Link("area:wet-well", inner),))))
    (link,) = [element for element in read.all("a") if element.inside("p")]
    assert link.text == "<\u00a010\u00a0%LELhome"
    assert not [element for element in read.all("a") if element.inside("a")]


# ---- structure -------------------------------------------------------------------


def outline(read):
    return [int(element.tag[1]) for element in read.elements if re.fullmatch(r"h[1-6]", element.tag)]


def test_every_page_has_one_title_one_main_and_an_outline_without_holes(documents):
    for path, text in documents.items():
        read = Reader(text)
        levels = outline(read)
        assert levels[0] == 1, path
        assert levels.count(1) == 1, path
        assert all(after <= before + 1 for before, after in pairwise(levels)), (path, levels)
        assert len(read.ids()) == len(set(read.ids())), path
        assert read.one("main").attributes["id"] == "content"
        assert read.all("a")[0].attributes["href"] == "#content"
        assert read.one("html").attributes["lang"] == "en"
        assert read.one("title").text
        assert read.one("main").inside("body")


def test_a_deep_heading_without_a_shallow_one_is_raised(sample):
    blocks = (Heading(3, (Text("a"),)), Heading(3, (Text("b"),)), Heading(2, (Text("c"),)), Heading(3, (Text("d"),)))
    assert outline(Reader(rendered(sample, *blocks))) == [1, 2, 3, 2, 3]


def test_headings_carry_their_anchor_and_none_twice(sample):
    read = Reader(rendered(sample, Heading(2, (Text("a"),), "limit.a")))
    assert read.one("h2").attributes == {"id": "limit.a"}
    for second in ("limit.a", "content", "two words"):
        with pytest.raises(RenderError, match="anchor"):
            rendered(sample, Heading(2, (Text("a"),), "limit.a"), Notice("note", (Heading(3, (Text("b"),), second),)))


def test_navigation_marks_the_page_and_crumbs_lead_up(documents):
    read = Reader(documents["setpoints.html"])
    here = [element.text for element in read.elements if element.attributes.get("aria-current") == "page"]
    assert here == ["Alarm setpoints"] * 3
    assert all(element.attributes["aria-label"] for element in read.all("nav"))
    assert not [nav for nav in Reader(documents["index.html"]).all("nav") if "crumbs" in nav.classes]
    assert [link.text for link in read.all("a") if any("crumbs" in parent.classes for parent in link.parents)] == [
        "Handbook"
    ]


def test_the_menu_has_a_word_for_each_section_in_order(documents):
    read = Reader(documents["areas/wet-well.html"])
    (menu, _) = read.all("ul", cls="menu")
    words = [e.text for e in read.elements if menu in e.parents and e.tag in {"span", "a"}]
    assert words == [
        *("Home", "Wet well", "Alarm setpoints", "Bump test", "Detectors", "Figures and derivations"),
    ]


def test_a_page_of_a_section_marks_that_section(sample):
    tank = Page(id="area:tank", path="areas/tank.html", title="Tank", section="areas", blocks=())
    read = Reader(renderer(sample).render(tank))
    marked = [(a.text, a.attributes["aria-current"]) for a in read.all("a") if "aria-current" in a.attributes]
    assert marked == [("Wet well", "true")] * 2


def test_an_id_or_a_date_in_a_cell_is_never_cut_and_a_long_key_may_be(sample):
    key = "setpoint.wet-well.hydrogen-sulfide.low"
    cells = ((Link("page:home", (Text("d-001"),)),), (Text("2026-11-24"),), (Text("in use"),), (Code(key),))
    read = Reader(rendered(sample, Table(("A", "B", "C", "D"), (cells,), numeric=(1,))))
    row = read.all("tr")[1]
    assert [cell.classes for cell in row.children] == [["one"], ["num", "one"], [], []]
    assert read.one("code").classes == ["long"]


def test_an_id_in_a_run_of_ids_is_not_cut_and_a_name_may_be(sample):
    names = ("d-001", "Wet well", "word", "detector-bench-cylinders")
    read = Reader(rendered(sample, Paragraph(tuple(Link("page:home", (Text(name),)) for name in names))))
    assert [link.classes for link in read.all("a") if link.text in names and link.inside("p")] == [["one"], [], [], []]


def test_a_quiet_link_stays_a_word_and_is_plain_on_paper(sample):
    block = Table(
        ("T90", "Other"), (((Link("page:home", (Text("span"),), quiet=True),), ()),), explained=((0, "page:home"),)
    )
    read = Reader(rendered(sample, block))
    assert [(link.text, link.attributes) for link in read.all("a", cls="term")] == [
        (word, {"class": "term", "href": "../index.html"}) for word in ("T90", "span")
    ]
    paper = Marker(sample.figures, lambda target: f"#{target}", page="page:x", paper=True)
    assert paper.table(block).explained == {}
    assert paper.href(block.rows[0][0][0]) == ""
    assert paper.href(Link("page:home", (Text("span"),))) == "#page:home"


def test_a_last_day_of_another_edition_is_told_to_the_browser(sample):
    read = Reader(rendered(sample, Paragraph((Day("25 Nov 2027", "2027-11-25"),))))
    assert [(e.text, e.attributes) for e in read.all("span", cls="day")] == [
        ("25 Nov 2027", {"class": "day", "data-until": "2027-11-25"})
    ]


def test_tables_are_captioned_scoped_and_aligned(documents):
    read = Reader(documents["setpoints.html"])
    assert [caption.text.strip() for caption in read.all("caption")] == [
        "Setpoints in the wet well",
        "Areas with values of their own",
    ]
    for head in read.all("th"):
        assert head.attributes["scope"] == ("col" if head.inside("thead") else "row")
    first = read.all("table")[0]
    rows = [element for element in read.all("tr") if first in element.parents]
    assert [cell.tag for cell in rows[1].children] == ["th", "td", "td", "td", "td"]
    assert [["num" in cell.classes for cell in row.children] for row in rows] == [[False, True, True, True, False]] * 4
    assert read.one("td", "empty").attributes["colspan"] == "3"
    wrapper = first.parents[-1]
    assert "scroll" in wrapper.classes
    assert wrapper.attributes["tabindex"] == "0"
    assert wrapper.attributes["aria-label"] == "Setpoints in the wet well"


def test_empty_heads_are_no_header_cells(sample):
    read = Reader(rendered(sample, Table(("", "Value"), (((), (Text("1"),)),))))
    assert [(head.text, head.attributes["scope"]) for head in read.all("th")] == [("Value", "col")]
    assert not Reader(rendered(sample, Table(("", ""), (), kind="facts"))).all("thead")


@pytest.mark.parametrize(
    ("block", "said"),
    [
        (Table(("A", "B"), (((Text("1"),),),)), "1 cells"),
        (Table(("A",), (), numeric=(1,)), "numeric"),
        (Table(("A",), (), kind="grid"), "grid"),
        (ItemList((), kind="dots"), "dots"),
        (Notice("danger", ()), "danger"),
        (Heading(1, (Text("a"),)), "level 1"),
        (Heading(4, (Text("a"),)), "level 4"),
        (Text("a"), "Text"),
        (Paragraph((Paragraph(()),)), "Paragraph"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_cannot_be_set_faithfully_is_refused(sample, block, said):
    with pytest.raises(RenderError, match=said):
        rendered(sample, block)


def test_severity_is_a_word(sample):
    read = Reader(rendered(sample, *(Notice(kind, (Paragraph((Text("x"),)),), "T") for kind in NOTICES)))
    assert [word.text for word in read.all("p", cls="word")] == [f"{word} T" for word in NOTICES.values()]
    assert len(set(NOTICES.values())) == len(NOTICES)


def test_lists_keep_their_kind_and_their_first_number(documents):
    read = Reader(documents["procedures/bump-test.html"])
    first, second = read.all("ol", cls="steps")
    assert "start" not in first.attributes
    assert second.attributes["start"] == "12"
    assert len(first.children) == 11
    assert read.one("ul", "ticks").text.count("\n") == 4
    step = first.children[2]
    assert step.text.startswith("Fit the cap")
    assert [child.tag for child in step.children] == ["div"]


# ---- draft, footer, templates ----------------------------------------------------


def test_the_watermark_and_the_word_are_on_drafts_only(sample):
    page = sample.pages[0]
    draft = Reader(renderer(sample, facts=sample.facts(draft=True)).render(page))
    released = Reader(renderer(sample).render(page))
    assert draft.one("div", "watermark").text == "Draft"
    assert "Draft" in draft.one("header").text
    assert "Draft" in draft.one("footer").text
    assert draft.one("title").text.startswith("Draft: ")
    assert "draft" not in released.one("html").text.lower()
    assert not released.all("div", cls="watermark")


def test_the_foot_says_caution_revision_and_dates(documents):
    foot = Reader(documents["areas/wet-well.html"]).one("footer").text
    for words in (CAUTION, "Revision 3", "2026-11-25", "Safety lead"):
        assert words in foot


def test_invented_data_is_told_where_it_is_invented(sample):
    page = sample.pages[0]
    assert INVENTED in renderer(sample).render(page)
    assert INVENTED not in renderer(sample, facts=sample.facts(invented=False)).render(page)


def test_rendering_twice_gives_the_same_text(sample):
    made = renderer(sample)
    assert [made.render(page) for page in sample.pages] == [made.render(page) for page in sample.pages]


def test_templates_are_strict_and_escape():
    from jinja2 import UndefinedError

    with pytest.raises(UndefinedError):
        environment().from_string("{{ nothing }}").render()
    assert environment().from_string("{{ x }}").render(x="<b>") == "&lt;b&gt;"
    with pytest.raises(RenderError, match="nowhere"):
        fill("html/nowhere.html")
    with pytest.raises(RenderError, match=r"page\.html"):
        fill("html/page.html")
    with pytest.raises(RenderError, match=r"nowhere\.css"):
        stylesheet("nowhere.css")


def test_the_templates_of_a_wheel_come_first_and_none_is_told(monkeypatch, tmp_path):
    found = templates.templates_folder.__wrapped__
    (tmp_path / "_templates" / "html").mkdir(parents=True)
    monkeypatch.setattr(templates, "CANDIDATES", (tmp_path / "_templates", tmp_path / "templates"))
    assert found() == tmp_path / "_templates"
    monkeypatch.setattr(templates, "CANDIDATES", (tmp_path / "none",))
    with pytest.raises(RenderError, match="none"):
        found()
