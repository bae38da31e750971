"""Cards are set in the largest of few sizes of type that they fit in, both sides alike, in few layouts."""

from __future__ import annotations

from statistics import median

import pytest

from builder.pages.cards.compose import compose_cards
from builder.pages.prose import ProseContext
from builder.program.cards import AUDIENCES
from builder.render import cards as card_rendering
from builder.render.cards import Trial, largest_that_fits
from builder.render.fit import ACTION_PT, DECISIVE_PT, X_HEIGHT_MM
from builder.render.fonts import face_for, x_height_ratio
from builder.render.formats import FORMATS, LADDER, LEAST_UNASKED, SIGNS, type_steps
from builder.render.imposition import SheetLayout
from tests.conftest import DAY, DEMO
from tests.render.outside import read_runs, seen_faults
from tests.render.samples import FIGURES, alarm_block, block, calibrator, card, contact_block, entrant, folded, para
from tests.rendered import kept_cards, render_cards, render_sheets
from tests.shared import judged_once
from tests.trust.long import sample_of

MM_A_PT = 25.4 / 72
STEPS_A_FORMAT = 3
"""So many sizes of text are met at most among the cards of a format, so that they look like one family."""
MEDIAN_LAYOUTS = 1.5


@pytest.mark.parametrize("count", range(1, 5))
def test_the_search_finds_the_first_size_that_fits_and_lays_out_no_smaller_one(count):
    for fits_from in range(count + 1):  # the last means that none fits
        tried = []

        def trials(tried=tried, fits_from=fits_from):
            for at in range(count):
                tried.append(at)
                yield Trial(at, None, (), () if at >= fits_from else (f"too large at {at}",))

        found = largest_that_fits(trials())
        assert found.card == min(fits_from, count - 1)
        assert bool(found.faults) == (fits_from == count)
        assert tried == list(range(found.card + 1))


def test_every_size_of_type_is_legible():
    """The least sizes are those of the fit rules, which name their sources."""
    for sizes in LADDER:
        assert sizes.text * MM_A_PT * x_height_ratio(face_for(400)) >= X_HEIGHT_MM
        assert sizes.decisive >= DECISIVE_PT
        assert sizes.action >= ACTION_PT
    assert [sizes.text for sizes in LADDER] == sorted((sizes.text for sizes in LADDER), reverse=True)


@pytest.mark.parametrize("form", FORMATS.values(), ids=list(FORMATS))
def test_an_author_s_floor_is_kept_and_nothing_is_set_very_small_unasked(form):
    unasked = [sizes.text for sizes in type_steps(form)]
    assert unasked[0] == form.largest
    assert min(unasked) == LEAST_UNASKED
    assert min(sizes.text for sizes in type_steps(form, 7)) == min(sizes.text for sizes in LADDER)
    for floor in (7.2, 7.5, 7.6):
        assert min(sizes.text for sizes in type_steps(form, floor)) >= floor


def texts_of(pdf, page, words):
    return {round(run.points, 2) for run in read_runs(pdf)[page] if words in run.text}


def test_both_sides_are_set_alike_and_room_left_over_stays_empty():
    one = card("c", (alarm_block(), contact_block()), (block("text", para("Leave.")),))
    [made] = render_cards([one], FIGURES)
    front, back = texts_of(made.pdf, 0, "Control room"), texts_of(made.pdf, 1, "Leave.")
    assert front == back == {made.type_pt}


def test_a_short_card_is_set_in_the_largest_type_of_its_format():
    for form in FORMATS.values():
        [made] = render_cards([card("c", (block("text", para("Leave.")),), form=form.name)], FIGURES)
        assert made.type_pt == form.largest
        assert made.notes == ()


@pytest.mark.parametrize("make", [entrant, calibrator, folded])
def test_nothing_leaves_a_card_in_the_type_it_was_set_in(make):
    one = make()
    [made] = render_cards([one], FIGURES)
    assert seen_faults(one, made.pdf, FIGURES) == []


def test_sheets_print_a_card_as_large_as_it_was_fitted():
    long = card("c", tuple(block("text", para("Leave. " * 90)) for _ in range(2)))
    rendered = render_cards([long], FIGURES)
    assert rendered[0].type_pt < FORMATS["A7"].largest
    [sheet] = render_sheets([long], FIGURES, "A4", setting=SheetLayout(copies=1))
    sizes = {round(run.points, 2) for page in read_runs(sheet.pdf)[:1] for run in page if "Leave." in run.text}
    assert sizes == {rendered[0].type_pt}


# ---- the demo ----------------------------------------------------------------


@pytest.fixture(scope="module")
def demo():
    """Its cards as a draft, their PDFs, how often each of some was laid out, and what was judged."""
    judged = judged_once(DEMO, DAY)
    context = ProseContext(ledger=judged.ledger, titles=lambda reference: reference)
    cards = compose_cards(judged.program, judged.ledger, context, draft=True).papers
    layouts = {}
    plain = card_rendering._laid

    def counted(engine, one, figures):
        layouts[one.name] = layouts.get(one.name, 0) + 1
        return plain(engine, one, figures)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(card_rendering, "_laid", counted)
        render_cards(sample_of(cards, 4), judged.ledger.figures)
    return cards, kept_cards(cards, judged.ledger.figures), layouts, judged


def test_every_audience_has_a_card(demo):
    assert {card.audience for card in demo[3].program.cards.values()} == set(AUDIENCES)


def test_most_cards_are_laid_out_once(demo):
    cards, _, layouts, _ = demo
    assert len(cards) >= 20
    assert len(layouts) == len(sample_of(cards, 4))
    carried = [layouts[card.name] for card in cards if card.name in layouts and card.format not in SIGNS]
    assert median(carried) <= MEDIAN_LAYOUTS


def test_cards_of_a_format_are_set_in_few_sizes(demo):
    met = {}
    for one, made in zip(demo[0], demo[1], strict=True):
        if not one.smallest:
            met.setdefault(one.format, set()).add(made.type_pt)
    assert met
    assert max(len(sizes) for sizes in met.values()) <= STEPS_A_FORMAT


def test_no_card_of_the_demo_needs_type_smaller_than_a_format_has(demo):
    """What is set smaller on its author's word, and what then refuses, is tried in test_fit_lines.py."""
    assert {
        one.id: made.type_pt for one, made in zip(demo[0], demo[1], strict=True) if made.type_pt < LEAST_UNASKED
    } == {}


def test_quotes_and_dashes_are_true_and_no_word_stands_alone_on_a_last_line(demo):
    for one, made in zip(demo[0], demo[1], strict=True):
        text = "".join(run.text for page in read_runs(made.pdf) for run in page)
        assert not set(text) & set("'\""), one.name
        assert " - " not in text, one.name
        assert [note for note in made.notes if "stands alone" in note] == []
