"""Widths that are remembered are those that the engine measures, and everything it measures by decides them."""

import inspect
import re

import pytest
from weasyprint.layout import preferred
from weasyprint.text import fonts, line_break

from builder.render import widths
from builder.render.pdf import PdfEngine

WORDS = "Hydrogen sulfide, second alarm at 10 ppm, and an unforeseeable Zusammensetzungs\u00adänderung"
HTML = f"""<html lang=en><title>t</title><body>{
    "".join(f"<table class={kind}><tr><td>{WORDS}<td><b>{WORDS}</b> again<td>{WORDS}</table>" for kind in "abcdef")
}</body></html>"""
CSS = """* { font-family: "Handbook Sans"; hyphenate-character: "-" }
.b { font-size: 7pt } .c { letter-spacing: 1pt; white-space: nowrap } .d { hyphens: auto }
.e { overflow-wrap: anywhere; word-spacing: 3pt } .f { font-weight: 600; font-style: italic }"""
READ = (line_break.Layout, line_break.create_layout, line_break.split_first_line, line_break.first_line_metrics,
        line_break.line_size, fonts.get_font_description)  # fmt: skip
"""All that the engine does to fit words into a line."""


def laid(monkeypatch, function):
    with PdfEngine() as engine, monkeypatch.context() as patched:
        patched.setattr(preferred, "split_first_line", function)
        document = engine.document(HTML, [CSS])
        return engine.write(document, "t", "en")


def test_a_document_is_the_same_where_each_width_is_measured_once(monkeypatch):
    measured = []

    def counted(*asked, **how):
        measured.append(asked[0])
        return line_break.split_first_line(*asked, **how)

    plain = laid(monkeypatch, counted)
    every = len(measured)
    measured.clear()
    assert laid(monkeypatch, widths._Remembered(counted)) == plain
    assert 0 < len(measured) < every * 3 / 4


def test_what_is_remembered_holds_for_one_engine_and_does_not_grow_without_end(monkeypatch):
    remembered = widths._Remembered(line_break.split_first_line)
    laid(monkeypatch, remembered)
    known = dict(remembered._known)
    laid(monkeypatch, remembered)
    assert remembered._known.keys() == known.keys()
    assert all(remembered._known[key] is not one for key, one in known.items()), "fonts are another engine's now"
    monkeypatch.setattr(widths, "MOST", 5)
    laid(monkeypatch, remembered)
    assert len(remembered._known) <= 5


@pytest.mark.parametrize("function", READ, ids=lambda one: one.__name__)
def test_all_of_a_style_that_the_engine_reads_is_told_apart(function):
    asked = set(re.findall(r"style\['(\w+)'\]", inspect.getsource(function)))
    assert asked <= set(widths.DECIDING)


def test_of_a_line_only_its_width_and_where_the_next_begins_are_asked_for_there():
    source = inspect.getsource(inspect.getmodule(preferred))
    assert re.findall(r"([\w, ]+) = split_first_line\(", source) == [
        "                _, _, new_resume_index, width, _, _",
        "        _, _, _, width, _, _",
    ]
    assert "from .inline import split_first_line" in inspect.getsource(preferred.trailing_whitespace_size)


def test_an_engine_asks_for_each_width_once():
    with PdfEngine():
        assert isinstance(preferred.split_first_line, widths._Remembered)
