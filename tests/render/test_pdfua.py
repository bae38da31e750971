"""Every kind of PDF is checked by `pdfua`, an independent checker of the part of PDF/UA-1 that a program can judge."""

from __future__ import annotations

from io import BytesIO

import pytest
from pdfua import Severity, validate
from pypdf import PdfReader, PdfWriter
from pypdf.generic import NameObject

from builder.pages.blocks import Axis, Chart, Line, Mark
from tests.render.samples import FIGURES, block, calibrator, card, entrant, folded, index_card, limits
from tests.rendered import render_cards, render_sheets
from tests.trust.long import sample_of

CARDS = {
    "A7": entrant(),
    "A7, draft": entrant("draft", draft=True),
    "ID-1": limits(),
    "A6": calibrator(),
    "folded": folded(),
    "strip": folded("strip", "strip-4"),
    "3x5in": index_card(),
}


def complaints(pdf: bytes, tmp_path) -> list[str]:
    path = tmp_path / "one.pdf"
    path.write_bytes(pdf)
    report = validate(str(path))
    return [f"{one.rule_id} {one.message}" for one in report.findings if one.severity >= Severity.WARNING]


@pytest.mark.parametrize("name", list(CARDS))
def test_a_card_passes_the_checker(name, tmp_path):
    assert complaints(render_cards([CARDS[name]], FIGURES)[0].pdf, tmp_path) == []


@pytest.mark.parametrize("name", ["A7", "ID-1", "folded"])
def test_a_sheet_passes_the_checker(name, tmp_path):
    assert complaints(render_sheets([CARDS[name]], FIGURES, "A4")[0].pdf, tmp_path) == []


def test_the_printed_books_pass_the_checker(minimal, tmp_path):
    found = {book.name: complaints(book.read_bytes(), tmp_path) for book in (minimal.out / "books").glob("*.pdf")}
    assert set(found) == {"handbook.pdf"}
    assert not any(found.values()), found


def test_the_book_of_a_small_site_is_small(minimal):
    """One area and two units: at most four sheets folded to a booklet; a size of our own, no source."""
    assert len(PdfReader(minimal.out / "books" / "handbook.pdf").pages) <= 16


def test_log_sheets_pass_the_checker(minimal, tmp_path):
    found = {form.name: complaints(form.read_bytes(), tmp_path) for form in (minimal.out / "forms").glob("*.pdf")}
    assert found
    assert not any(found.values()), found


def test_labels_pass_the_checker(demo, tmp_path):
    """Each day a third of the sheets; `make trust` takes all."""
    sheets = sample_of(sorted((demo.out / "labels").glob("*.pdf")), 3)
    found = {sheet.name: complaints(sheet.read_bytes(), tmp_path) for sheet in sheets}
    assert found
    assert not any(found.values()), found


def test_the_checker_sees_what_is_taken_away(tmp_path):
    for taken in ("/Lang", "/StructTreeRoot", "/MarkInfo"):
        writer = PdfWriter(clone_from=BytesIO(render_cards([entrant()], FIGURES)[0].pdf))
        del writer._root_object[NameObject(taken)]
        made = BytesIO()
        writer.write(made)
        assert complaints(made.getvalue(), tmp_path), taken


def test_pictures_have_alternative_text():
    chart = Chart(
        "Propane read as methane",
        "True value over display.",
        Axis("Display", "%LEL"),
        Axis("True", "%LEL"),
        (Line("propane", tuple((f"reading.{n}", f"true.propane.{n}") for n in (5, 10, 20))),),
        (Mark("limit.flammable", "limit"),),
    )
    cards = [index_card(), card("chart", (block("chart", chart),), form="A6")]
    for one, needed in zip(
        render_cards(cards, FIGURES), ("status.html#EX-7K2M", "Propane read as methane"), strict=True
    ):
        root = PdfReader(BytesIO(one.pdf)).trailer["/Root"]
        texts = [node.get("/Alt", "") for node in nodes(root["/StructTreeRoot"]) if node.get("/S") == "/Figure"]
        assert texts
        assert all(texts)
        assert any(needed in text for text in texts)


def nodes(node):
    yield node
    children = node.get("/K", [])
    for child in children if isinstance(children, list) else [children]:
        found = child.get_object()
        if isinstance(found, dict):
            yield from nodes(found)
