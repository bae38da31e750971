"""Labels, log sheets and cards in Arabic as they lie on paper: direction, room, and marks that no rule touches."""

from __future__ import annotations

import pytest

from builder.render import arabic
from builder.render.boxes import sides_of
from builder.render.documents import make
from builder.render.fit import X_HEIGHT_MM
from builder.render.forms import form_document
from builder.render.label_room import fitted_labels
from builder.render.labels import labels_document
from builder.render.pdf import PdfEngine
from tests.render.paper_site import LABELS, judged_papers
from tests.render.raster import rasters
from tests.rendered import render_cards

CLEAR_MM, DPI, FAINT, EDGE = 0.2, 600, 190, 2
"""White between a rule and the ink below it that an eye still sees at arm's length; common practice, no source.

The edge of a rule is grey over two rows.
"""
SITE = {
    "labels": LABELS.replace("gap-y: 0 mm}", "gap-y: 0 mm, language: ar}"),
    "forms": "languages: [ar]\n",
    "languages": ("en", "de", "ar"),
}


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    return judged_papers(tmp_path_factory.mktemp("turned") / "site", **SITE)


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as made:
        yield made


def documents(papers):
    figures = papers.ledger.figures
    labels = (one for one in papers.papers.labels.papers if one.language == "ar")
    yield from (labels_document(fitted_labels(one, figures), figures) for one in labels)
    yield from (form_document(one, figures) for one in papers.papers.log_sheets.papers)


def test_every_sheet_fits_and_is_marked(papers, engine):
    names = []
    for document in documents(papers):
        assert '<html lang="ar" dir="rtl">' in document.html
        made = make(engine, document)
        assert made.faults == (), document.name
        assert made.pdf.startswith(b"%PDF")
        names.append(document.name)
    assert len(names) >= 4


def test_letters_are_large_enough_and_the_first_column_stands_on_the_right(papers, engine):
    for document in documents(papers):
        sides = sides_of(engine.document(document.html, document.css))
        inks = [ink for side in sides for ink in side.inks if ink.kind == "text" and not ink.decor]
        letters = [ink for ink in inks if arabic.has_arabic(ink.text)]
        assert letters
        assert min(ink.x_height for ink in letters) >= X_HEIGHT_MM, document.name
    sheet = papers.papers.log_sheets.papers[0]
    document = form_document(sheet, papers.ledger.figures)
    side = next(
        one for one in sides_of(engine.document(document.html, document.css)) if one.name == "form" and one.inks
    )
    unit = next(ink for ink in side.inks if ink.text.strip() == "الجهاز،" or ink.text.startswith("الجهاز"))
    remarks = next(ink for ink in side.inks if ink.text.startswith("ملاحظات"))
    assert unit.rect.left > remarks.rect.right


def rules_and_gaps(picture):
    """White rows below every rule that crosses most of a page, in millimetres."""
    width, height = picture.size
    left, right = int(width * 0.2), int(width * 0.94)  # beside the tab of the role, to the edge of the text
    dark = [
        sum(value < FAINT for value in picture.crop((left, row, right, row + 1)).get_flattened_data()) / (right - left)
        for row in range(height)
    ]
    row = 0
    while row < height:
        if dark[row] > 0.9:
            while row < height and dark[row] > 0.9:
                row += 1
            start = row = row + EDGE
            while row < height and dark[row] == 0:
                row += 1
            yield (row - start) * 25.4 / DPI
        row += 1


def test_no_mark_of_a_letter_touches_the_rule_above_it(judged):
    """The word behind a draft is paler than what counts as ink here."""
    card = next(one for one in judged.papers.cards.papers if one.name == "carbon-dioxide-entrant.ar")
    [made] = render_cards([card], judged.ledger.figures)
    gaps = [gap for picture in rasters(made.pdf, DPI) for gap in rules_and_gaps(picture)]
    assert len(gaps) >= 8
    assert min(gaps) >= CLEAR_MM
