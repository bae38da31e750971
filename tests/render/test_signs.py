"""Signs that hang at an entrance: every alarm with its action, read from where one stands, in each language."""

from __future__ import annotations

import math
import subprocess
from dataclasses import replace
from io import BytesIO

import pytest
from pdfua import Severity, validate
from pypdf import PdfReader

from builder.base.errors import FitError
from builder.pages.compositions import figures_in
from builder.pages.numbers import spoken_figures
from builder.program.keys.families import SETPOINT
from builder.render.fit import from_metres
from builder.render.formats import SIGNS, card_format, type_steps
from builder.render.sheets import by_format
from tests.conftest import DAY, DEMO
from tests.render.outside import cut_ratios, read_runs, read_words, squeezed
from tests.render.raster import rasters
from tests.rendered import render_cards
from tests.shared import judged_once

CAP_HEIGHT = 0.66
"""Of the face, in type sizes: its OS/2 table."""
MM = 25.4 / 72
NUMBERS, ORDERS = 8, 10
"""Minutes of arc."""


def minutes(height_mm: float, away_m: float) -> float:
    return math.degrees(math.atan(height_mm / 1000 / away_m)) * 60


@pytest.fixture(scope="module")
def judged():
    return judged_once(DEMO, DAY)


@pytest.fixture(scope="module")
def signs(judged):
    cards = [card for card in judged.papers.cards.papers if card.format in SIGNS]
    return list(zip(cards, render_cards(cards, judged.ledger.figures), strict=True))


def test_every_alarm_of_the_area_is_on_its_sign_with_what_to_do(judged, signs):
    assert {card.language for card, _ in signs} >= {"en", "es", "pl", "ar"}
    for card, made in signs:
        area = judged.program.cards[card.id].area.value
        if card.language == "ar":  # readers of PDFs give its letters in another order: see test_direction.py
            continue
        text = squeezed("".join(run.text for page in read_runs(made.pdf) for run in page))
        alarms = [
            (channel, alarm)
            for channel in judged.program.channels_in(judged.program.areas[area])
            if (entry := judged.program.setpoint(area, channel))
            for alarm in entry.alarms.values()
        ]
        assert alarms
        told = spoken_figures(judged.ledger.figures, card.language)
        for channel, alarm in alarms:
            key = SETPOINT(area=area, channel=channel, alarm=alarm.name)
            assert key in figures_in(card)
            assert squeezed(f"{told[key].text}{told[key].unit}") in text
            if card.language == "en":
                assert squeezed(alarm.action_of("entrant").value) in text


def test_a_sign_says_what_can_be_there_what_to_carry_in_which_order_and_whom_to_call(judged, signs):
    english = {card.id: made for card, made in signs if card.language == "en"}
    text = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=english["wet-well-sign"].pdf, capture_output=True, check=True
    ).stdout.decode()
    area = judged.program.areas["wet-well"]
    for hazard in area.hazards:
        name = "Too little oxygen" if hazard.gas.value == "oxygen" else judged.program.gases[hazard.gas.value].name
        assert name in text
    for one in area.carry:
        assert all(judged.program.models[given.value].name in text for given in one.models)
    order = [text.index(word) for word in ("1. Oxygen", "2. Flammable", "3. H", "4. CO")]
    assert order == sorted(order)
    assert "4400" in text
    assert "DRAFT" in text


def test_type_is_read_from_where_one_stands(signs):
    """Letters of 5, 8 and 10 minutes of arc are those that eyes of acuity 1.0, 0.63 and 0.5 tell: ISO 8596."""
    for card, made in signs:
        form = card_format(card.format)
        points = sorted(run.points for page in read_runs(made.pdf) for run in page if run.text.strip())
        assert minutes(points[0] * 25.4 / 72 * CAP_HEIGHT, form.read_from) >= 5
        bold = {round(run.points, 1) for page in read_runs(made.pdf) for run in page if run.font.endswith("-Bold")}
        sizes = next(sizes for sizes in form.ladder if sizes.text == made.type_pt)
        if card.language == "ar":
            continue
        assert {sizes.decisive, sizes.action} <= bold
        assert minutes(sizes.decisive * 25.4 / 72 * CAP_HEIGHT, form.read_from) >= NUMBERS - 0.1
        assert minutes(sizes.action * 25.4 / 72 * CAP_HEIGHT, form.read_from) >= ORDERS - 0.1


@pytest.mark.parametrize("name", ["A5", "Letter"])
def test_a_sign_fits_other_papers_too(judged, signs, name):
    wanted = {"A5": "carbon-dioxide-sign", "Letter": "wet-well-sign"}[name]
    [card] = [card for card, _ in signs if card.id == wanted and card.language == "en"]
    [made] = render_cards([replace(card, format=name, type_pt=0)], judged.ledger.figures)
    page = PdfReader(BytesIO(made.pdf)).pages[0].mediabox
    assert (float(page.width), float(page.height)) == pytest.approx(
        (SIGNS[name].width / MM, SIGNS[name].height / MM), abs=1
    )


def test_an_arabic_sign_is_read_from_where_one_stands_and_its_foot_keeps_the_edge(signs):
    """Letters of Arabic at 9 pt are as high as what must be told apart in the hand: builder/render/arabic.py."""
    [(card, made)] = [(card, made) for card, made in signs if card.language == "ar"]
    form = card_format(card.format)
    points = [run.points for page in read_runs(made.pdf) for run in page if run.text.strip()]
    assert min(points) >= 9 * from_metres(form.read_from).x_height / 1.2 - 0.05
    lowest = max(word[4] for page in read_words(made.pdf) for word in page)
    assert lowest * MM <= form.height - 9  # its box is higher than its ink


@pytest.mark.parametrize("form", SIGNS.values(), ids=list(SIGNS))
def test_every_step_is_legible_from_there(form):
    needed, flat = from_metres(form.read_from), cut_ratios()[0]
    for sizes in type_steps(form):
        assert sizes.text * 25.4 / 72 * flat >= needed.x_height
        assert sizes.decisive >= needed.decisive
        assert sizes.action >= needed.action


def test_nothing_is_printed_where_office_printers_do_not_reach(signs):
    for card, made in signs:
        form = card_format(card.format)
        for page, drawn in zip(PdfReader(BytesIO(made.pdf)).pages, rasters(made.pdf), strict=True):
            assert float(page.mediabox.width) == pytest.approx(form.width * 72 / 25.4, abs=0.01)
            edge = round(9.8 / 25.4 * 150)
            dark = drawn.point(lambda value: 255 if value < 130 else 0)
            left, top, right, bottom = dark.getbbox()
            assert min(left, top, drawn.width - right, drawn.height - bottom) >= edge


def test_its_square_code_leads_to_the_page_of_the_area(judged, signs):
    at = judged.program.site.published_at.value.rstrip("/")
    for card, _ in signs:
        [code] = [
            node for side in card.sides for block in side.blocks for node in block.blocks if hasattr(node, "says")
        ]
        assert code.address == f"{at}/areas/{judged.program.cards[card.id].area.value}.html"


def test_a_sign_passes_the_checker_and_lies_on_no_sheet_of_cards(signs, tmp_path):
    for card, made in signs:
        path = tmp_path / f"{card.name}.pdf"
        path.write_bytes(made.pdf)
        report = validate(str(path))
        assert [found.message for found in report.findings if found.severity >= Severity.WARNING] == []
    assert by_format([card for card, _ in signs]) == {}


@pytest.mark.parametrize("field", ["title", "area"])
@pytest.mark.parametrize("word", ["Sedimentation" * 9, "Primary sedimentation tank and its channels " * 9])
def test_a_long_name_is_printed_whole_or_refused(judged, signs, field, word):
    card = replace(signs[0][0], type_pt=0, **{field: word})
    try:
        [made] = render_cards([card], judged.ledger.figures)
    except FitError as error:
        told = str(error)
    else:
        told = card.id
        seen = squeezed("".join(text for page in read_words(made.pdf) for text, *_ in page))
        assert squeezed(word) in seen
    assert card.id in told
