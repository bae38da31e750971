"""The edition being made is told as it is read back once it is released: both are compared by one rule."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builder import pipeline
from builder.base.spool import Spool
from builder.history.chapters import CHAPTERS
from builder.history.edition import read_edition
from builder.pages.edition import edition_of
from builder.publish.ledger_json import chapters_json, history_files, put_ledger
from tests.conftest import MINIMAL

DAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def made():
    judged = pipeline.judge(MINIMAL, DAY)
    return judged, pipeline.compose(judged), pipeline.told(judged, draft=True)


def told(made, **other):
    judged, composed, facts = made
    return edition_of(judged.ledger, composed.pages, composed.cards, composed.outputs, composed.texts, facts, **other)


def test_what_is_read_back_from_its_files_is_what_was_told_of_it(made):
    judged, composed, facts = made
    files = history_files(composed.texts, facts)
    put_ledger(ledger := Spool(), judged.ledger, {}, facts)
    files |= {**ledger, CHAPTERS: chapters_json({}, facts)}
    present = told(made)
    without_places = {key: replace(figure, printed_on=()) for key, figure in present.figures.items()}
    assert read_edition(files.__getitem__, "draft") == replace(present, figures=without_places)


def test_a_figure_tells_every_page_and_card_that_prints_it(made):
    places = told(made).figures["setpoint.pit.oxygen.low"].printed_on
    assert {"areas/pit.html", "setpoints.html", "cards/pit-entrant.pdf"} <= set(places)
    assert list(places) == sorted(places)


def test_without_a_release_to_compare_with_only_figures_of_cards_are_told(made):
    assert {key.partition(".")[0] for key in told(made, numbers=False).figures} == {"card"}
