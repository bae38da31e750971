"""What is only drawn on log sheets and labels is left out for who reads them: every word of the printed ones stays."""

from __future__ import annotations

import pytest

from builder.render.forms import form_document
from builder.render.label_room import fitted_labels
from builder.render.labels import labels_document
from builder.render.source_words import SourceWords, WordsEngine
from builder.verify.words import packed
from tests.languages.test_arabic_papers import SITE
from tests.render.paper_site import judged_papers


@pytest.fixture(scope="module", params=[{}, SITE], ids=["left to right", "right to left"])
def documents(request, tmp_path_factory):
    """(as it is printed, as it is read) of each paper."""
    judged = judged_papers(tmp_path_factory.mktemp("papers") / "site", **request.param)
    figures, papers = judged.ledger.figures, judged.papers
    made = [(form_document, sheet) for sheet in papers.log_sheets.papers]
    made += [(labels_document, fitted_labels(pages, figures)) for pages in papers.labels.papers]
    return [[make(paper, figures, drawn=drawn) for drawn in (True, False)] for make, paper in made]


def told(engine, document):
    """The words, texts at head and foot, heads of tables: all that a PDF is held against."""
    found = SourceWords.read(engine.write(engine.document(document.html, document.css), document.title, "en"))
    return packed("".join(found.words)), found.around, found.quoted, found.fixed, list(map(packed, found.heads))


def test_who_reads_a_paper_is_told_every_word_that_is_printed(documents):
    assert len({printed.name.split()[0] for printed, _ in documents}) == 2, "log sheets and labels"
    with WordsEngine() as engine:
        for printed, read in documents:
            assert told(engine, read) == told(engine, printed), printed.name
            assert len(read.html) < len(printed.html) * 0.9, printed.name
