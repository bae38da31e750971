"""A card looked at alone: what leaves its place is seen on paper, read back by a PDF library of other people."""

from __future__ import annotations

from io import BytesIO

import pypdf

from builder.render.formats import FORMATS
from builder.render.jobs import Workshop
from builder.render.proof import proof_job
from tests.render.samples import FIGURES, block, card, entrant, para
from tests.rendered import render_cards

PT_A_MM = 72 / 25.4
LAST = "The last words of all."


def proof(one):
    with Workshop() as shop:
        [made] = shop.run([proof_job(one, FIGURES)])
    return made


def overfull():
    """Twelve paragraphs on a card that has room for about half of them."""
    return card("c", (block("text", *(para("Leave the way you came. " * 6) for _ in range(12)), para(LAST)),))


def test_a_card_that_fits_is_shown_as_it_is_printed():
    made = proof(entrant())
    assert made.faults == ()
    assert made.pdf == render_cards([entrant()], FIGURES)[0].pdf


def test_a_card_that_does_not_fit_is_shown_with_all_that_runs_off_it():
    made = proof(overfull())
    assert any("below the safe area" in fault for fault in made.faults)
    [page] = pypdf.PdfReader(BytesIO(made.pdf)).pages
    form = FORMATS["A7"]
    assert float(page.mediabox.height) > (form.height + 4) * PT_A_MM
    assert float(page.mediabox.bottom) < 0, "what runs off the foot lies below the card"
    places = {}
    page.extract_text(visitor_text=lambda text, _, matrix, *__: places.setdefault(text.strip(), matrix[5]))
    assert LAST in "".join(places).replace("\xa0", " ")
    drawn = page.get_contents().get_data().decode("latin-1")
    assert "[2 2] 0 d" in drawn, "the room that there is, dashed"
    assert drawn.count(" re S") > 1


def test_frames_stand_where_the_text_does():
    """PDF counts upward from the foot of the page, the layout downward from its head."""
    [page] = pypdf.PdfReader(BytesIO(proof(overfull()).pdf)).pages
    frames = [line.split() for line in page.get_contents().get_data().decode("latin-1").splitlines() if " re S" in line]
    lowest = min(float(words[-5]) for words in frames)
    bottom = float(page.mediabox.bottom)
    assert abs(lowest - (bottom + 4 * PT_A_MM)) < 0.1, "the lowest frame ends as far from the edge as the desk is wide"
