"""How cards look: compared with stored pictures, in grey, and as people see them who tell colours apart differently.

After a change that is meant: `python -m tests.render.test_looks`, then look at every picture in `tests/render/looks`.
"""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from PIL import Image

from builder.base.contrast import contrast
from builder.render.boxes import sides_of
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fit import CONTRAST
from builder.render.formats import card_format
from builder.render.pdf import PdfEngine
from builder.render.shapes import WHITE
from tests.render.raster import darkness, png, rasters, unlike
from tests.render.samples import FIGURES, calibrator, entrant, folded, index_card, limits
from tests.rendered import render_cards

LOOKS = Path(__file__).parent / "looks"
SHOWN = {
    "entrant-draft": (lambda: entrant(draft=True), 0),
    "folded-outside": (folded, 0),
    "index-back": (index_card, 1),
}
ALIKE = 35
"""The stored pictures have 16 greys, which gives 3; one wrong digit gives 50 and more."""


@pytest.mark.parametrize("name", list(SHOWN))
def test_a_card_looks_as_it_did_when_it_was_looked_at(name):
    make, page = SHOWN[name]
    drawn = rasters(render_cards([make()], FIGURES)[0].pdf)[page]
    stored = LOOKS / f"{name}.png"
    assert stored.stat().st_size < 60_000
    with Image.open(stored) as seen:
        assert seen.size == drawn.size
        assert unlike(drawn, seen.convert("L"), block=8, blur=0.7) < ALIKE


def test_a_wrong_digit_does_not_look_as_before():
    figures = {**FIGURES, "setpoint.oxygen.low": replace(FIGURES["setpoint.oxygen.low"], text="19.6")}
    drawn = rasters(render_cards([entrant(draft=True)], figures)[0].pdf)[0]
    with Image.open(LOOKS / "entrant-draft.png") as seen:
        assert unlike(drawn, seen.convert("L"), block=8, blur=0.7) > ALIKE


def test_the_word_behind_a_draft_is_seen_and_takes_little_ink():
    foot = entrant().foot  # a draft says other words there
    cards = (replace(entrant(draft=on), foot=foot) for on in (False, True))
    plain, draft = (rasters(render_cards([one], FIGURES)[0].pdf)[0] for one in cards)
    assert 1 < darkness(draft) - darkness(plain) < 8


# Simulations of the three kinds of dichromacy for linear RGB: Machado, Oliveira and Fernandes, "A physiologically-based
# model for simulation of color vision deficiency", IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity 1.0.
SEEN_BY = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}


def simulated(colour, kind):
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour]
    mixed = [sum(m * part for m, part in zip(row, linear, strict=True)) for row in SEEN_BY[kind]]
    kept = [min(max(part, 0), 1) for part in mixed]
    return tuple(12.92 * part if part <= 0.0031308 else 1.055 * part ** (1 / 2.4) - 0.055 for part in kept)


def in_grey(colour):
    """As a black-and-white printer mixes it: luma of ITU-R BT.601."""
    luma = 0.299 * colour[0] + 0.587 * colour[1] + 0.114 * colour[2]
    return (luma, luma, luma)


def pairs_on(card):
    """Every colour of text with every ground it stands on, the word behind drafts taken as a ground."""
    form = card_format(card.format)
    css = (card_css(), page_css(form.width, form.height), side_css(form))
    with PdfEngine() as engine:
        sides = sides_of(engine.document(card_html(card, FIGURES), css))
    inks = [ink for side in sides for ink in side.inks if ink.kind == "text"]
    behind = {ink.colour for ink in inks if ink.decor}
    return {
        (ink.colour, ground)
        for ink in inks
        if not ink.decor
        for ground in (ink.ground, *(behind if ink.ground == WHITE else ()))
    }


@pytest.mark.parametrize("make", [entrant, limits, calibrator, folded])
def test_contrast_stays_in_grey_and_for_every_kind_of_sight(make):
    pairs = pairs_on(make(draft=True))
    assert len(pairs) >= 2
    assert faults_of_sight(pairs) == set()


BAD_PAIRS = {
    "protanopia": ((1, 0.45, 0.45), (0, 0, 0)),
    "deuteranopia": ((1, 1, 0), (0.6, 0, 0)),
    "tritanopia": ((1, 0.6, 0.6), (0.3, 0, 0)),
    "grey": ((0, 0, 0), (1, 0.4, 0.3)),
}
"""Text and ground whose contrast is good to most eyes and lost on these; found by trial with the models above."""


@pytest.mark.parametrize("kind", list(BAD_PAIRS))
def test_a_bad_pair_of_colours_is_caught_on_a_card(monkeypatch, kind):
    """Planted in the style sheet, as an author of styles might, and seen by the rule above."""
    ink, ground = BAD_PAIRS[kind]
    assert contrast(ink, ground) >= CONTRAST  # else the rule of contrast itself would do
    planted = f"[data-block=contacts] td {{ color: {css_of(ink)}; background: {css_of(ground)} }}"
    plain = card_css()
    monkeypatch.setattr("tests.render.test_looks.card_css", lambda: plain + planted)
    found = faults_of_sight(pairs_on(entrant()))
    assert kind in found


def css_of(colour):
    return "#" + "".join(f"{round(part * 255):02x}" for part in colour)


def faults_of_sight(pairs):
    """The ways of seeing in which the contrast of any pair falls below 7 to 1."""
    seen = {"grey": in_grey, **{kind: partial(simulated, kind=kind) for kind in SEEN_BY}}
    return {name for name, see in seen.items() for ink, ground in pairs if contrast(see(ink), see(ground)) < CONTRAST}


def test_the_simulations_see_what_such_eyes_do_not():
    white, red, green = (1, 1, 1), (1, 0, 0), (0, 1, 0)
    for kind in SEEN_BY:
        assert simulated(white, kind) == pytest.approx(white, abs=0.01)
    assert contrast(simulated(red, "protanopia"), (0, 0, 0)) < contrast(red, (0, 0, 0)) / 1.5
    assert contrast(in_grey((0.2, 0.2, 0.9)), in_grey((0.5, 0.1, 0.2))) < 1.3
    assert contrast(simulated(green, "deuteranopia"), white) < 7


if __name__ == "__main__":
    for name, (make, page) in SHOWN.items():
        (LOOKS / f"{name}.png").write_bytes(png(rasters(render_cards([make()], FIGURES)[0].pdf)[page]))
