"""What the builder relies on in the PDF engine without a promise, held against the engine that is installed."""

import re
import subprocess
import sys
from pathlib import Path
from xml.etree.ElementTree import tostring

import pytest
import tinyhtml5
import weasyprint
from tinyhtml5 import inputstream
from weasyprint import html
from weasyprint.formatting_structure import boxes as structure
from weasyprint.text.fonts import FontConfiguration

from builder.render import engine, libraries
from builder.render.pdf import PdfEngine

ROOT = Path(__file__).parents[2]
HTML = """<html lang=en><title>t</title><body><div class=at>placed</div><h1>Head</h1>
<table><tr><th scope=row>a<td><span>b</span></table><img src="data:image/svg+xml,<svg xmlns='http://www.w3.org/2000/svg'
 width='4' height='4'/>" alt="a square"><table style="display: inline-table"><tr><td>c</table></body></html>"""
CSS = """* { font-family: "Handbook Sans" } .at { position: absolute; transform: rotate(90deg) }
@page { @top-left { content: "head" } }
td { border: 1px solid #123; overflow: hidden } h1 { background: rgb(0 0 255 / 50%) }"""


@pytest.fixture(scope="module")
def laid():
    with PdfEngine() as made:
        document = made.document(HTML, [CSS])
        yield document


@pytest.fixture
def boxes(laid):
    return [box for page in engine.page_boxes(laid) for box in engine.boxes_below(page)]


def test_the_engine_is_of_the_version_that_was_read():
    assert int(weasyprint.__version__.split(".")[0]) == engine.MAJOR, "read anew what the door relies on"


def test_pages_have_a_box_and_fonts_a_folder(laid):
    assert all(hasattr(page, name) for page in laid.pages for name in engine.USED["Page"])
    assert all(hasattr(FontConfiguration(), name) for name in engine.USED["FontConfiguration"])


def test_every_box_has_what_is_asked_of_it(boxes):
    asked = set()
    for box in boxes:
        raw = box._raw
        names = [*engine.USED["Box"], *(engine.USED["TextBox"] if box.kind == "text" else ())]
        names += engine.USED["ReplacedBox"] if box.kind == "picture" else ()
        assert [name for name in names if not hasattr(raw, name)] == [], type(raw).__name__
        assert [name for name in engine.USED["style"] if name not in raw.style and raw.style[name] is None] == []
        asked.add(box.kind)
    assert asked >= set(engine.KINDS.values()), "a kind of box is not tried here"


@pytest.mark.parametrize("name", engine.KINDS)
def test_every_class_of_boxes_is_there(name):
    assert isinstance(getattr(structure, name), type)


def test_the_walk_of_the_engine_hides_placed_boxes_and_this_one_does_not(laid, boxes):
    (page,) = laid.pages
    assert "placed" in [box.text for box in boxes if box.kind == "text"]
    raw = [child for child in walk(page._page_box) if type(child).__name__ == "AbsolutePlaceholder"]
    assert raw
    assert all(hasattr(child, name) for child in raw for name in engine.USED["AbsolutePlaceholder"])


def walk(box):
    yield box
    for child in getattr(box, "_box", box).all_children():
        yield from walk(child)


def test_places_colours_and_edges_are_those_of_the_style_sheet(boxes):
    (head,) = [box for box in boxes if box.kind == "block" and box.tag == "h1"]
    assert head.background == (0, 0, 1, 0.5)
    (placed,) = [box for box in boxes if box.kind == "block" and box.own and box.element.get("class") == "at"]
    assert placed.transform[:4] == pytest.approx((0, 1, -1, 0))
    assert [box.drawn_edges for box in boxes if box.kind == "cell" and box.tag == "td"] == [(1, 1, 1, 1)] * 2
    assert all(box.clips for box in boxes if box.kind == "cell" and box.tag == "td")
    assert head.font == (32, 700, False)


def test_header_cells_say_what_they_head():
    with PdfEngine() as made:
        document = made.document(HTML, [CSS])
        made.write(document, "t", "en")
        heads = [box for page in engine.page_boxes(document) for box in engine.boxes_below(page) if box.tag == "th"]
        assert {box._raw.mark["A"]["Scope"] for box in heads if getattr(box._raw, "mark", None)} == {"/Row"}


def test_no_element_is_prepared_to_be_a_note_and_no_document_has_one(monkeypatch):
    sources = [*(ROOT / "templates").rglob("*.*ml"), *(ROOT / "templates").rglob("*.css")]
    sources += [path for path in (ROOT / "builder/render").glob("*.py") if path.name != "engine.py"]
    assert len(sources) > 80
    assert [path.name for path in sources if re.search(r"footnote|note\(\)", path.read_text(encoding="utf-8"))] == []
    shipped = weasyprint.CSS(string=html.UA).matcher.other_selectors
    assert {entry[3] for entry in shipped} == {None, "marker", *engine.NOTES}
    text = f"{HTML}<ol><li>first<li>second</ol><ul><li>third</ul>"
    with PdfEngine() as made:
        kept = html.UA_STYLESHEET.matcher.other_selectors
        assert [entry[3] for entry in kept if entry[3]] == ["marker"]
        without = made.write(made.document(text, [CSS]), "t", "en")
        monkeypatch.setattr(html.UA_STYLESHEET.matcher, "other_selectors", shipped)
        assert made.write(made.document(text, [CSS]), "t", "en") == without


def test_a_source_is_read_alike_where_each_pattern_is_made_once(monkeypatch):
    more = "<!-- a-b --><script>a < b && c</script><p title='a&amp;b' id=c>&lt; d &#160; e]]>\0f<textarea>g</textarea>"
    text = HTML + more
    with PdfEngine():
        known = inputstream.characters_until_regex
    assert isinstance(known, libraries._Patterns)
    read = tostring(tinyhtml5.parse(text))
    patterns = dict(known)
    assert len(patterns) > 5
    assert tostring(tinyhtml5.parse(text)) == read
    assert known == patterns, "found again"
    monkeypatch.setattr(inputstream, "characters_until_regex", {})
    assert tostring(tinyhtml5.parse(text)) == read


def test_versions_are_those_that_the_engine_itself_reports():
    from weasyprint.text.ffi import pango

    major, minor, micro = libraries.drawing()["pango"].split(".")
    assert int(major) * 10000 + int(minor) * 100 + int(micro) == pango.pango_version()
    said = subprocess.run(["hb-shape", "--version"], capture_output=True, text=True, check=False) if _has() else None
    assert said is None or libraries.drawing()["harfbuzz"] in said.stdout


def _has():
    from shutil import which

    return which("hb-shape")


def test_the_versions_are_asked_without_loading_the_engine():
    code = (
        "import sys; from builder.render.libraries import drawing; assert drawing(); print('weasyprint' in sys.modules)"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert said.stdout == "False\n"


def test_no_other_file_touches_what_is_not_promised():
    """Names that the engine does not promise, and its classes by name, stand behind this one door."""
    kinds = (rf"\b{kind}\b" for kind in engine.KINDS)
    private = "|".join(("_page_box", "all_children", "transformation_matrix", "element_tag", r"position_[xy]\b",
                        r"(?:border|padding|content)_box_[xy]", *kinds, r"\.style\["))  # fmt: skip
    for path in (ROOT / "builder").rglob("*.py"):
        if path.name != "engine.py":
            assert re.findall(private, path.read_text()) == [], path


def test_what_the_engine_never_uses_is_not_loaded_with_it_and_works_where_it_does():
    code = """
from builder.render.pdf import preload
preload()
import sys
from weasyprint.pdf import fonts
print([name for name in sys.modules if name.startswith(("fontTools.subset", "fontTools.varLib"))])
print(fonts.subset.Options(retain_gids=True).retain_gids, "fontTools.subset" in sys.modules)
import fontTools.varLib.instancer
print(fontTools.varLib.instancer.__file__.endswith("__init__.py"))
"""
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.stdout, done.stderr) == ("[]\nTrue True\nTrue\n", "")


def test_cutting_a_font_reads_no_c_for_each_number_of_letters(monkeypatch):
    from weasyprint.pdf import fonts

    asked = []
    monkeypatch.setattr(fonts.ffi, "_door", Listening(fonts.ffi._door, asked))
    with PdfEngine() as made:
        for words in ("one", "and two more"):
            made.write(made.document(HTML.replace("placed", words), [CSS]), "t", "en")
    arrays = [kind for kind, filled in asked if isinstance(filled, list | tuple)]
    assert len(arrays) >= 6
    assert {kind.partition("[")[2] for kind in arrays} == {"]"}


class Listening:
    def __init__(self, door, asked):
        self.door, self.asked = door, asked

    def __getattr__(self, name):
        return getattr(self.door, name)

    def new(self, kind, filled=None):
        self.asked.append((kind, filled))
        return self.door.new(kind, filled)


@pytest.mark.parametrize(
    ("kind", "filled"),
    [("hb_codepoint_t[3]", (5, 6, 7)), ("hb_codepoint_t[4]", [5, 6]), ("hb_tag_t[2]", None), ("unsigned int *", 7)],
)
def test_an_array_is_what_the_library_itself_makes_of_it(kind, filled):
    from weasyprint.text.ffi import ffi

    ours, theirs = libraries._Arrays(ffi).new(kind, filled), ffi.new(kind, filled)
    assert ffi.buffer(ours)[:] == ffi.buffer(theirs)[:]


def test_libraries_are_found_by_their_files_without_a_compiler_being_asked():
    code = """
import subprocess
def refused(*_args, **_kept):
    raise SystemExit("started a program")
subprocess.Popen.__init__ = refused
from builder.render.pdf import preload
preload()
import ctypes.util, weasyprint
print(ctypes.util.find_library.__module__)
"""
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.stdout, done.stderr) == ("ctypes.util\n", "")
