"""What a PDF says held against what it must say: any word, digit, order or page number that is another is told.

Sources are written here; the PDFs are made by the engine from HTML written here, so what each of them says is known.
"""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from pypdf import PdfReader

from builder.render.pdf import PdfEngine
from builder.render.source_words import SourceWords, WordsEngine
from builder.verify.paper import Line, Paper, read_paper
from builder.verify.words import paper_differences

CSS = """
@page { size: 100mm 60mm; margin: 12mm 8mm; @top-left { content: string(part) }
  @bottom-right { content: "Page " counter(page) " of " counter(pages) } @bottom-left { content: element(foot) } }
* { font-family: "Handbook Sans" } h1 { string-set: part content() } .foot { position: running(foot) }
.mark { position: fixed; top: 0; right: 0 } h1 ~ p { break-before: page }
.x::after { content: " (p. " attr(data-page) ")" }
"""
HTML = """<html lang="en"><head><title>t</title></head><body><div class="foot">Manual prevails</div>
<div class="mark">DRAFT</div><h1 id="one">First part</h1>
<table><thead><tr><th>Alarm</th><th>Set at</th></tr></thead><tbody>{rows}</tbody></table>
<ol start="3"><li>Leave.</li><li>Tell the <b>atten</b>dant.</li></ol>
<h1 id="two">Second part</h1><p>See <a class="x" href="#one" data-page="0">the first</a> at 19.5&#160;%vol.</p>
</body></html>"""
ROWS = "".join(f"<tr><td>Gas {at}</td><td>{at}.5 ppm</td></tr>" for at in range(1, 9))


@pytest.fixture(scope="module")
def made():
    """(what the document must say, its PDF): three pages at least, a table over two, page numbers set."""
    html = HTML.format(rows=ROWS)
    with PdfEngine() as engine:
        pdf = engine.write(engine.document(html.replace('data-page="0"', 'data-page="1"'), [CSS]), "t", "en")
    with WordsEngine() as engine:
        again = html.replace('data-page="0"', 'data-page="1"')
        return SourceWords.read(engine.write(engine.document(again, [CSS]), "t", "en")), pdf


@pytest.fixture
def source(made):
    return SourceWords.read(made[0].written())


@pytest.fixture(scope="module")
def paper(made):
    return read_paper(made[1], "a.pdf")


def differences(source, paper):
    return [str(one) for one in paper_differences("a.pdf", source, paper)]


def test_what_was_printed_faithfully_has_no_difference(source, paper):
    assert paper.pages > 2
    assert differences(source, paper) == []


def test_another_reader_finds_the_same_letters(made, paper):
    """pypdf reads pages in the order drawn, this reader by tags: together they are the same letters."""
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(made[1])).pages]
    for number, text in enumerate(pages, start=1):
        own = "".join(line.text for line in paper.lines if line.page == number) + paper.around[number - 1]
        assert sorted("".join(own.split())) == sorted("".join(text.split()))


def changed(paper, old, new):
    """The paper with one text of its lines replaced."""
    (at,) = [number for number, line in enumerate(paper.lines) if old in line.text]
    line = replace(paper.lines[at], glyphs=tuple(paper.lines[at].text.replace(old, new)))
    return replace(paper, lines=(*paper.lines[:at], line, *paper.lines[at + 1 :]))


@pytest.mark.parametrize(
    ("old", "new"),
    [("19.5", "18.5"), ("Leave.", "Stay."), ("atten", "inten"), ("4.", "5."), ("Gas 7", "Gas 6"), ("(p. 1)", "(p. 2)"),
     ("3.5", "35."), ("First part", "Worst part"), ("Second part", "")],
)  # fmt: skip
def test_another_word_or_digit_is_told(source, paper, old, new):
    old = old if any(old in line.text for line in paper.lines) else old.replace(" ", "\u00a0")
    found = [line.text for line in paper.lines if old in line.text]
    if len(found) != 1:
        old, new = next((text, text.replace(old, new)) for text in found)
    assert differences(source, changed(paper, old, new)) != []


def test_two_cells_exchanged_are_told(source, paper):
    one, other = (next(n for n, line in enumerate(paper.lines) if text in line.text) for text in ("1.5", "2.5"))
    lines = list(paper.lines)
    lines[one], lines[other] = (replace(lines[n], glyphs=lines[m].glyphs) for n, m in ((one, other), (other, one)))
    assert differences(source, replace(paper, lines=tuple(lines))) != []


def test_a_line_left_out_or_said_twice_is_told(source, paper):
    for at in range(len(paper.lines)):
        without = (*paper.lines[:at], *paper.lines[at + 1 :])
        assert differences(source, replace(paper, lines=without)), paper.lines[at]
        twice = (*paper.lines[: at + 1], *paper.lines[at:])
        assert differences(source, replace(paper, lines=twice)), paper.lines[at]


@pytest.mark.parametrize(
    ("old", "new"),
    [("Page 2 of", "Page 3 of"), ("Manual prevails", "Manual fails"), ("Manual prevails", ""), ("First", "Third")],
)
def test_another_head_or_foot_is_told(source, paper, old, new):
    around = list(paper.around)
    assert old in around[1]
    around[1] = around[1].replace(old, new)
    assert differences(source, replace(paper, around=tuple(around))) != []


BLANK = "<table><thead><tr><th>One</th></tr></thead><tbody><tr><td>first</td></tr>{rows}</tbody></table>"
BELOW = "<table><thead><tr><th>Two</th></tr></thead><tbody><tr><td>last</td></tr></tbody></table>"


def test_a_head_below_a_repeated_one_and_blank_lines_is_read():
    html = f"<html lang='en'><body>{BLANK.format(rows='<tr><td>&#160;</td></tr>' * 4)}{BELOW}</body></html>"
    with PdfEngine() as engine:
        pdf = engine.write(engine.document(html, [CSS]), "t", "en")
    with WordsEngine() as engine:
        source = SourceWords.read(engine.write(engine.document(html, [CSS]), "t", "en"))
    paper = read_paper(pdf, "a.pdf")
    heads = [(line.page, line.text.strip()) for line in paper.lines if line.in_head]
    assert heads == [(1, "One"), (2, "One"), (2, "Two")]
    assert differences(source, paper) == []
    for wrong in (paper.lines[:-2] + paper.lines[-1:], (*paper.lines[:-2], *paper.lines[-2:-1] * 2, paper.lines[-1])):
        assert differences(source, replace(paper, lines=tuple(wrong))) != []


def test_several_differences_are_told_each(source, paper):
    both = changed(changed(paper, "Leave.", "Stay."), "19.5", "18.5")
    assert len(differences(source, both)) == 2


# ---- from right to left ---------------------------------------------------------------------


def drawn(*lines):
    """Lines as they are drawn: letters of Arabic from the end, a joined form as one glyph."""
    made = tuple(Line(page=1, glyphs=tuple(reversed(line)), in_head=False) for line in lines)
    return Paper(pages=1, lines=made, around=("",), labels=("1",))


STOP = "اخرج فور"  # "leave at once", without its last letters


def test_letters_from_right_to_left_are_read_in_their_order():
    source = SourceWords(words=[STOP])
    assert differences(source, drawn(STOP)) == []
    assert differences(source, drawn("اخرج", "فور")) == []
    assert differences(source, drawn("فور", "اخرج")) != []
    assert differences(source, drawn(STOP.replace("خ", "ح"))) != []


def test_numbers_among_them_keep_their_direction_and_every_digit():
    source = SourceWords(words=["عند 19.5 اخرج"])
    glyphs = tuple("جرخا" + " 19.5 " + "دنع")
    right = Paper(pages=1, lines=(Line(1, glyphs, in_head=False),), around=("",), labels=("1",))
    assert differences(source, right) == []
    for wrong in ("18.5", "1.95", "195", "5.91"):
        other = tuple("جرخا" + f" {wrong} " + "دنع")
        assert differences(source, replace(right, lines=(Line(1, other, in_head=False),))) != [], wrong


def test_a_joined_form_stands_for_a_few_letters_and_no_more():
    source = SourceWords(words=["لا تدخل"])
    form = Line(1, (*reversed("تدخل"), " ", "لا"), in_head=False)
    assert differences(source, Paper(pages=1, lines=(form,), around=("",), labels=("1",))) == []
    lost = Line(1, tuple(reversed("تدخل")), in_head=False)
    assert differences(source, Paper(pages=1, lines=(lost,), around=("",), labels=("1",))) != []
