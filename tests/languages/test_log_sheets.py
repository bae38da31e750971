"""Log sheets in every language: columns follow the words of their heads, on each paper that sheets are printed on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builder.program.languages import LANGUAGES
from builder.render.boxes import sides_of
from builder.render.form_rules import form_faults
from builder.render.forms import form_document
from builder.render.pdf import PdfEngine
from tests.render.paper_site import judged_papers

CLEAR_MM = 0.5
"""White between a word and the upright line beside it, less than which looks like none; common practice, no source."""
TITLE_MM = 200
"""Titles of groups go over all columns, and no upright line stands beside them."""
CHANNELS = (3, 4, 5)
"""Of three instruments, each channel with the widest heads that readings have: clean air, and gas."""


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    spoken = ", ".join(LANGUAGES)
    folder = tmp_path_factory.mktemp("spoken") / "site"
    return judged_papers(folder, forms=f"languages: [{spoken}]\n", languages=tuple(LANGUAGES))


@pytest.fixture(scope="module")
def engine():
    with PdfEngine() as made:
        yield made


def crowded(sheet):
    """The sheet with an instrument for each number of channels."""
    (group,) = sheet.groups
    wide = max(group.channels, key=lambda channel: sum(len(column.name) for column in channel.write))
    made = (replace(group, channels=(wide,) * count, lines=group.lines[:1]) for count in CHANNELS)
    return replace(sheet, groups=tuple(made))


def beside(inks):
    """Millimetres of white between each word of a head and the lines left and right of it."""
    for ink in inks:
        for place, cell in ink.bounds:
            head = place == "cell" and ink.block.startswith("group ") and cell.right - cell.left < TITLE_MM
            if head and ink.kind == "text" and ink.text.strip():
                yield min(ink.rect.left - cell.left, cell.right - ink.rect.right), ink.text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("language", LANGUAGES)
def test_no_head_is_wider_than_its_column(papers, engine, language, paper):
    daily = next(one for one in papers.papers.log_sheets.papers if (one.id, one.language) == ("daily-pit", language))
    document = form_document(replace(crowded(daily), paper=paper), papers.ledger.figures)
    sides = sides_of(engine.document(document.html, document.css))
    assert [*form_faults(daily.name, sides, document.rules.rows)] == []
    room = [*beside(ink for side in sides for ink in side.inks)]
    assert room
    assert min(room)[0] >= CLEAR_MM, min(room)
