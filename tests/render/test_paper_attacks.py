"""Every printed field of labels and log sheets is given the longest word and the largest number.

It must fit with all of it printed, seen by another reader, or be refused with the field, the language and millimetres.
Each day another share of fields, languages, kinds and papers; `make trust` tries all.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from itertools import product

import pytest

from builder.base.errors import FitError, RenderError
from builder.pages.blocks import Text
from builder.pages.forms import log_sheets
from builder.pages.labels import LabelGrid, LabelPages, unit_labels
from builder.pages.log_rows import LogGroup
from builder.pages.translator import Translator
from builder.pages.wording import NotingWording
from builder.render.formats import PAPERS, paper
from builder.render.imposition import die_cut, whole_page
from builder.render.labels import SAFE_MM
from tests.render.paper_site import LANGUAGES, judged_papers
from tests.render.test_labels import word_boxes
from tests.rendered import render_forms, render_labels
from tests.trust.long import sample_of

WORD = "Gasmessgeraetepruefungsbescheinigungsamt"
ID = "d-" + "7" * 30
SERIAL = "TMW-" + "W" * 46
NUMBER = "987654321"
SIZES = {"tiny": (45.7, 25.4), "usual": (63.5, 38.1), "large": (99, 57), "whole": (190, 130)}
"""Sizes of labels in millimetres, from a small one up to half a page; examples that stand for no maker's sheet."""
LANGUAGE = r"\((en|es|de|pl|pt)\)"
SPOKEN = "languages: [en, es, de, pl, pt]\n"


@pytest.fixture(scope="module")
def judged(tmp_path_factory):
    return judged_papers(tmp_path_factory.mktemp("attack") / "site", forms=SPOKEN)


def larger(figures, keys):
    """The same figures, those of some keys as large numbers: other languages speak the value, not the English text."""
    large = {"text": NUMBER, "exact": Fraction(NUMBER), "rounding": None, "interval": None}
    return {key: replace(one, **large) if key in keys else one for key, one in figures.items()}


def packed(page) -> str:
    return "".join("".join(box[0].split()) for box in page)


# ---- labels ------------------------------------------------------------------------

FIELDS = {
    "id": lambda label: replace(label, name=ID),
    "serial": lambda label: replace(label, serial=SERIAL),
    "name of a check": lambda label: replace(label, lines=tuple(worded(line) for line in label.lines)),
    "a line more": lambda label: replace(label, lines=(*label.lines, *label.lines[:1])),
}
NEEDED = {"id": ID, "serial": SERIAL, "name of a check": WORD, "a line more": ""}


def worded(nodes):
    """The same line with its first word a very long one."""
    return tuple(
        replace(node, text=re.sub(r"[^\W\d_]+", WORD, node.text, count=1))
        if at == 0 and isinstance(node, Text)
        else node
        for at, node in enumerate(nodes)
    )


def label_of(judged, language):
    speaker = Translator(program=judged.program, wording=NotingWording(language=language))
    return unit_labels(judged.computed, draft=False, translator=speaker)["d-001"]


def sheet_of(size, label, language):
    width, height = SIZES[size]
    grid = LabelGrid(
        id=size, paper="A4", width=width, height=height, columns=1, rows=1, left=10, top=20, gap_x=0, gap_y=0
    )
    return LabelPages(grid=grid, labels=(label,), language=language, draft=False)


def label_holds(pages, figures, needed) -> bool:
    """Whether a label holds what it must print; a refusal names unit, sheet, language, field and millimetres.

    Lines about the unit may be left out, which is told with the size of the label.
    """
    unit = pages.labels[0].name
    try:
        [made] = render_labels([pages], figures)
    except FitError as error:
        named = re.compile(
            rf"label {unit} on sheet {pages.grid.id} {LANGUAGE}: block \w+: "
            r"(\d+\.\d mm |.* printed over each other|a lower-case x is)"
        )
        assert all(named.match(fault) for fault in error.faults), error.faults  # noqa: PT017 - one of two ends
        return False
    page = word_boxes(made.pdf)[0]
    [place] = die_cut(pages.grid, paper("A4")).fronts
    on_it = [box for box in page if box[2] > place.top - 1]
    for word, left, _, right, _ in on_it:
        assert place.left + SAFE_MM - 0.05 <= left, word
        assert right <= place.left + place.width - SAFE_MM + 0.05, word
    if needed == WORD and needed not in packed(on_it):
        left = re.compile(rf"labels on sheet {pages.grid.id} {LANGUAGE}: .* mm has no room for .+ on 1 of them")
        assert any(map(left.fullmatch, made.notes)), made.notes
        return False
    assert needed in packed(on_it)
    return True


@pytest.mark.parametrize(("size", "language"), sample_of(product(SIZES, ("en", "de")), 3))
def test_the_longest_text_in_a_field_of_a_label_fits_or_is_refused(judged, size, language):
    held = {
        name: label_holds(
            sheet_of(size, plant(label_of(judged, language)), language), judged.ledger.figures, NEEDED[name]
        )
        for name, plant in FIELDS.items()
    }
    long = {held[name] for name in FIELDS if NEEDED[name]}
    assert size != "tiny" or False in long, "a small label holds not all of it"
    assert size != "whole" or long == {True}, "a large one does"


@pytest.mark.parametrize(("size", "language"), sample_of(product(SIZES, LANGUAGES), 3))
def test_the_largest_number_on_a_label_fits_or_is_refused(judged, size, language):
    label = label_of(judged, language)
    figures = larger(judged.ledger.figures, label.figures)
    assert label_holds(sheet_of(size, label, language), figures, NUMBER) or size == "tiny"


# ---- log sheets --------------------------------------------------------------------

KINDS = ("daily-pit", "calibration-pit", "look-pit")


def forms_of(judged, kind):
    return [one for one in log_sheets(judged.computed, draft=False).papers if one.id == kind]


def form_holds(sheet, figures, needed, times=1) -> bool:
    """Whether a log sheet holds what it must print; a refusal names sheet, language, field and millimetres.

    :param times: how often it must stand on the first page; lines of the head may have the site's name between them.
    """
    try:
        [made] = render_forms([sheet], figures)
    except FitError as error:
        named = re.compile(
            rf"log sheet {sheet.id} {LANGUAGE}(, page \d+)?: block [\w ]+: .*(\d mm |printed over each other)"
        )
        assert all(named.match(fault) for fault in error.faults), error.faults  # noqa: PT017 - one of two ends
        return False
    plan = whole_page(paper(sheet.paper))
    pages = word_boxes(made.pdf)
    for word, left, _, right, _ in (box for page in pages for box in page):
        assert left >= 9.9, word
        assert right <= plan.width - 9.9, word
    assert needed in "".join(packed(page) for page in pages)
    assert packed(pages[0]).count(needed) >= times or times == 1
    return True


def group_of(sheet, change):
    return replace(sheet, groups=tuple(change(group) for group in sheet.groups))


def lines_with(**texts):
    return lambda group: replace(
        group, lines=tuple(replace(line, **texts) if line.unit else line for line in group.lines)
    )


def channels_with(change):
    return lambda group: replace(group, channels=tuple(change(channel) for channel in group.channels))


PLANTED = {
    "unit": (lines_with(unit=ID), ID),
    "serial": (lines_with(serial=SERIAL), SERIAL),
    "as found": (lines_with(about=WORD), WORD),
    "head": (lambda group: replace(group, head=WORD), WORD),
    "model": (lambda group: replace(group, title=f"{WORD}, {group.title}"), WORD),
    "channel": (channels_with(lambda one: replace(one, name=WORD)), WORD),
    "what to write": (
        lambda group: replace(group, write=tuple(replace(column, name=WORD) for column in group.write)),
        WORD,
    ),
}


@pytest.mark.parametrize(("field", "kind", "size"), sample_of(product(PLANTED, KINDS, PAPERS), 5))
def test_the_longest_text_in_a_field_of_a_log_sheet_fits_or_is_refused(judged, field, kind, size):
    """Serials and titles may break, and columns follow their heads where there are few."""
    change, needed = PLANTED[field]
    fits = field in ("serial", "model", "channel") or (field, kind) == ("what to write", "look-pit")
    for sheet in forms_of(judged, kind)[:: 2 if size == "A4" else 4]:
        planted = group_of(replace(sheet, paper=size), change)
        if planted == replace(sheet, paper=size):
            continue  # an inspection has no channels
        assert form_holds(planted, judged.ledger.figures, needed) is fits


@pytest.mark.parametrize(("part", "kind"), sample_of(product(("title", "place", "site"), KINDS), 4))
def test_long_names_of_check_area_and_site_fit_or_are_refused(judged, part, kind):
    for sheet in forms_of(judged, kind):
        words = f"{WORD} {WORD} {WORD}"
        held = form_holds(replace(sheet, **{part: words}), judged.ledger.figures, WORD, times=3)
        assert held or part == "place", "beside title and site"


@pytest.mark.parametrize(("kind", "size"), sample_of(product(KINDS, PAPERS), 3))
def test_the_largest_numbers_on_a_log_sheet_fit(judged, kind, size):
    """Nine digits in place of every number: windows, alarms, waits, days."""
    for sheet in forms_of(judged, kind):
        figures = larger(judged.ledger.figures, sheet.figures)
        assert form_holds(replace(sheet, paper=size), figures, NUMBER)


@pytest.mark.parametrize("size", sample_of(PAPERS, 2))
def test_as_many_channels_as_instruments_have_fit_the_shared_row_or_are_refused_with_a_way_out(judged, size):
    """Six sensors are the most of common instruments; common practice, no source."""
    for sheet in forms_of(judged, "daily-pit"):
        six = group_of(replace(sheet, paper=size), lambda group: replace(group, channels=(group.channels * 3)))
        try:
            form_holds(six, judged.ledger.figures, "d-001")
        except RenderError as error:
            assert "forms.yaml can keep checks separate" in str(error)  # noqa: PT017 - one of two ends


def test_the_attacks_meet_every_text_of_a_group():
    """A field added to a group has to be attacked as well."""
    assert {*LogGroup.__dataclass_fields__} == {"title", "notes", "channels", "write", "lines", "head"}
