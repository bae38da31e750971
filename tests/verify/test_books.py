"""What stands around the pages of a joined book: each page bears its chapter, its own number and the revision.

The chapters and frames are HTML written here, joined as books are, so what each page must bear is known.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.render.binding import Chapter, joined
from builder.render.pdf import PdfEngine
from builder.render.source_words import SourceWords, WordsEngine
from builder.verify.again import MOST, Papers, paper_held, paper_read
from builder.verify.paper import read_paper, read_places
from builder.verify.reading import Reading
from builder.verify.words import paper_differences
from tests.release.forgery import redrawn

SIZE = "@page { size: 100mm 60mm; margin: 12mm 10mm } * { font-family: 'Handbook Sans' } h2 { break-before: page }"
COUNT = '@page {{ @bottom-right {{ content: "{}" counter(page, {}) }} }}'
CHAPTERS = (
    ("", "lower-roman", "<h1 id='cover'>Field book</h1><h2>Contents</h2><p>1 Gases 1-1</p><h2>Changes</h2>"),
    ("1-", "decimal", "<h1 id='one'>Gases</h1><p>Oxygen</p>"),
    ("2-", "decimal", "<h1 id='two'>Checks</h1><p>Bump test</p><h2>Zero</h2><p>In clean air</p>"),
)
FOOT = "Field book · Yard · Revision 4"
HEADS = ("", f"1 · Gases{FOOT}1", f"2 · Checks{FOOT}2")
"""Head, foot and thumb tab of each part."""


def document(body):
    return f'<html lang="en"><head><title>Field book</title></head><body>{body}</body></html>'


def frames():
    pages = ""
    for side_head in HEADS:
        number, _, title = side_head.partition(" · ")
        texts = (f"{number} · {title.partition('Field')[0]}", FOOT, number) if number else ()
        inner = "".join(f"<p>{text}</p>" for text in texts)
        pages += "".join(f'<div class="{side}" style="break-after: page">{inner}</div>' for side in ("right", "left"))
    return document(pages)


@pytest.fixture(scope="module")
def made():
    """(what the book must say, the book)."""
    done = []
    for kind in (WordsEngine, PdfEngine):
        with kind() as engine:

            def written(html, *css, engine=engine):
                return engine.write(engine.document(html, [SIZE, *css]), "Field book", "en")

            chapters = tuple(
                Chapter(pdf=written(document(body), COUNT.format(label, style)), label=label, roman=not label)
                for label, style, body in CHAPTERS
            )
            done.append(joined(engine, chapters, written(frames()), {}))
    return SourceWords.read(done[0]), done[1]


@pytest.fixture(scope="module")
def paper(made):
    return read_paper(made[1], "book.pdf")


def differences(made, paper):
    return [str(one) for one in paper_differences("book.pdf", made[0], paper)]


def test_a_book_that_was_joined_faithfully_has_no_difference(made, paper):
    assert paper.labels == ("i", "ii", "iii", "iv", "1-1", "1-2", "2-1", "2-2")
    assert differences(made, paper) == []


def test_places_are_read_without_the_words(made):
    title, places = read_places(made[1], "book.pdf")
    assert title == "Field book"
    assert (places["one"], places["two"]) == (1, 1)


@pytest.mark.parametrize(
    ("page", "old", "new"),
    [
        (4, "1 · Gases", "2 · Checks"),  # another chapter's head
        (4, "1 · Gases", ""),  # no head
        (4, "Revision 4", "Revision 3"),  # another revision
        (6, "2-1", "2-2"),  # another page's number
        (6, "2-1", ""),  # no number
        (5, FOOT, ""),  # a blank page without its foot
        (5, FOOT, FOOT + "Draft"),  # more than there must be
        (0, "i", "Revision 3"),  # the cover
    ],
)
def test_any_other_head_foot_or_number_is_told(made, paper, page, old, new):
    around = list(paper.around)
    assert old in around[page]
    around[page] = around[page].replace(old, new)
    (found,) = differences(made, replace(paper, around=tuple(around)))
    assert f"head or foot of page {paper.labels[page]} says other words" in found


@pytest.mark.parametrize(("page", "label"), [(6, "2-2"), (7, "2-3"), (5, "3-2"), (4, "1-2")])
def test_a_page_that_bears_a_number_out_of_turn_is_told(made, paper, page, label):
    labels, around = list(paper.labels), list(paper.around)
    around[page] = around[page].replace(labels[page], label)
    labels[page] = label
    found = differences(made, replace(paper, labels=tuple(labels), around=tuple(around)))
    assert any("bears a number that it cannot have" in one for one in found)


def test_of_many_differences_some_are_told_and_that_there_are_more(made):
    source = SourceWords.read(made[0].written())
    assert paper_held(source.written(), paper_read(made[1])) == ()
    many = SourceWords(words=[f"Unheard of {at}" for at in range(40)], frames={"": ["x", "y"], "1-": ["x", "y"]})
    pages = "".join(f"<h2>Page {at}</h2>" for at in range(40))
    with PdfEngine() as engine:
        pdf = engine.write(engine.document(document(pages), [SIZE]), "Field book", "en")
    told = paper_held(many.written(), paper_read(pdf))
    assert len(told) == MOST + 1
    assert str(told[-1]) == "and more words besides"


class Counted(Reading):
    """Hands that note what they are given to do."""

    def __init__(self):
        super().__init__()
        self.done = []

    def begin(self, function, *inputs):
        self.done.append(function)
        return super().begin(function, *inputs)


def test_a_book_is_read_beforehand_once_and_again_where_it_is_another_one_by_then(made, tmp_path):
    source, pdf = made
    for name in ("a.pdf", "same.pdf"):
        (tmp_path / name).write_bytes(pdf)
    with Counted() as hands:
        papers = Papers(hands)
        papers.read([tmp_path / "a.pdf", tmp_path / "same.pdf", tmp_path / "missing.pdf"])
        assert hands.done == [paper_read]
        assert [*papers.differences("a.pdf", source.written(), pdf)] == []
        assert [*papers.differences("same.pdf", source.written(), pdf)] == []
        assert hands.done == [paper_read, paper_held]
        told = [str(one) for one in papers.differences("a.pdf", source.written(), redrawn(pdf, "Oxygen", "negyxO"))]
        assert told == ["a.pdf: page 5 says other words: 'negyxO' instead of 'Oxygen'"]
        [told] = papers.differences("a.pdf", source.written(), b"%PDF-1.7 torn")
        assert told.path == "a.pdf"
        assert "is no PDF that can be read" in told.what
