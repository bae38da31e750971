"""Labels: each where its sheet has it, nothing outside, and a text that does not fit named with its millimetres."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from io import BytesIO
from itertools import pairwise

import pytest
from pypdf import PdfReader

from builder.base.errors import ContentError, FitError, RenderError
from builder.base.finding import Severity
from builder.base.where import Given, Where
from builder.pages.labels import SHEETS_A_FILE, LabelGrid, LabelPages, label_pages, parts, unit_labels
from builder.pages.numbers import spoken_figures
from builder.pages.translator import Translator
from builder.pages.wording import NotingWording
from builder.pipeline import judge
from builder.program.languages import LANGUAGES as REGISTERED
from builder.render.formats import paper
from builder.render.imposition import BAR_ROOM, die_cut
from builder.render.label_room import SAFE_MM, fitted_labels
from builder.render.sheet_marks import EDGE
from tests.conftest import DAY as DEMO_DAY
from tests.conftest import DEMO
from tests.render.paper_site import DAY, LANGUAGES, MINIMAL, judged_papers, paper_site
from tests.rendered import render_labels
from tests.shared import computed_with, judged_once
from tests.trust.long import sample_of

MM = 72 / 25.4
HERE = Where("labels.yaml", 1)


def grid(name, paper, size, count, start, gap):
    return LabelGrid(
        id=name, paper=paper, width=size[0], height=size[1], columns=count[0], rows=count[1],
        left=start[0], top=start[1], gap_x=gap[0], gap_y=gap[1],
    )  # fmt: skip


GRIDS = [
    grid("small", "A4", (63.5, 38.1), (3, 7), (7.2, 15.1), (2.5, 0)),
    grid("tight", "A4", (99, 57), (2, 5), (5, 6), (2, 0)),
    grid("apart", "Letter", (66.675, 30), (3, 8), (4.7, 12.7), (3.2, 1.5)),
]


@pytest.fixture(scope="module")
def judged():
    return judge(MINIMAL, DAY)


@pytest.fixture(scope="module")
def labels(judged):
    return unit_labels(judged.computed, draft=True)


def places(grid):
    return die_cut(grid, paper(grid.paper)).fronts


def many(labels, count):
    """As many labels as asked for, each of a unit of its own."""
    first = next(iter(labels.values()))
    return tuple(replace(first, name=f"u-{number:03}", serial=f"S{number:05}") for number in range(count))


def set_on(grid, labels, draft=True):
    return LabelPages(grid=grid, labels=tuple(labels), language="en", draft=draft)


def word_boxes(data):
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=data, capture_output=True, check=True)
    word = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
    return [
        [(text, *(float(number) / MM for number in numbers)) for *numbers, text in word.findall(page)]
        for page in done.stdout.decode().split("<page ")[1:]
    ]


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.id)
def test_labels_stand_at_the_millimetres_of_their_sheet(judged, labels, grid):
    count = grid.columns * grid.rows
    made = many(labels, count + 2)
    (done,) = render_labels([set_on(grid, made)], judged.ledger.figures)
    assert done.pages == 3, "two sheets, and one to try the printer with"
    pages = word_boxes(done.pdf)
    for number, label in enumerate(made):
        page, at = divmod(number, count)
        row, column = divmod(at, grid.columns)
        left = grid.left + column * (grid.width + grid.gap_x)
        top = grid.top + row * (grid.height + grid.gap_y)
        (box,) = [box for box in pages[page] if box[0] == label.name]
        assert box[1] == pytest.approx(left + 1.6, abs=0.3)
        assert top < box[2] < box[4] < top + grid.height - SAFE_MM


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.id)
def test_nothing_is_printed_outside_the_labels_but_the_bar(judged, labels, grid):
    made = many(labels, grid.columns * grid.rows)
    (done,) = render_labels(
        [set_on(grid, [replace(one, draft=False) for one in made], draft=False)], judged.ledger.figures
    )
    spots = places(grid)
    for text, left, top, right, bottom in word_boxes(done.pdf)[0]:
        inside = [
            at
            for at in spots
            if at.left + SAFE_MM <= left + 0.05 and right <= at.left + at.width - SAFE_MM + 0.05
            and at.top <= top and bottom <= at.top + at.height
        ]  # fmt: skip
        in_margin = bottom < grid.top or top > spots[-1].top + grid.height
        assert inside or in_margin, (text, left, top)


def strokes(reader, page):
    """Straight lines of a page in millimetres from its upper left corner."""
    height = float(reader.pages[page].mediabox.height)
    found, here, matrix = [], None, [1, 0, 0, 1, 0, 0]
    stack = []
    from pypdf.generic import ContentStream

    for values, operator in ContentStream(reader.pages[page].get_contents(), reader).operations:
        numbers = [float(value) for value in values if isinstance(value, (int, float)) or hasattr(value, "as_numeric")]
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = numbers
            m = matrix
            matrix = [
                a * m[0] + b * m[2], a * m[1] + b * m[3], c * m[0] + d * m[2], c * m[1] + d * m[3],
                e * m[0] + f * m[2] + m[4], e * m[1] + f * m[3] + m[5],
            ]  # fmt: skip
        elif operator in (b"m", b"l"):
            x, y = numbers
            point = (
                (x * matrix[0] + y * matrix[2] + matrix[4]) / MM,
                (height - (x * matrix[1] + y * matrix[3] + matrix[5])) / MM,
            )
            if operator == b"l":
                found.append((here, point))
            here = point
    return found


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.id)
def test_the_last_page_has_a_bar_of_50_mm_and_the_outline_of_every_label(judged, labels, grid):
    (done,) = render_labels([set_on(grid, many(labels, 1))], judged.ledger.figures)
    lines = strokes(PdfReader(BytesIO(done.pdf)), -1)
    bars = [(a, b) for a, b in lines if a[1] == pytest.approx(b[1], abs=0.01) and a[0] == pytest.approx(EDGE, abs=0.01)]
    assert [b[0] - a[0] for a, b in bars] == pytest.approx([50], abs=0.01)
    for at in places(grid):
        assert any(a == pytest.approx((at.left, at.top), abs=0.01) for a, _ in lines)
    text = " ".join(word for word, *_ in word_boxes(done.pdf)[-1])
    assert "plain paper" in text
    assert "bar is 50 mm" in text


def test_a_label_prints_id_serial_due_date_code_and_draft(judged, labels):
    (done,) = render_labels([set_on(GRIDS[0], labels.values())], judged.ledger.figures)
    text = subprocess.run(["pdftotext", "-", "-"], input=done.pdf, capture_output=True, check=True).stdout.decode()
    text = re.sub(r"\s+", " ", text)
    for label in labels.values():
        assert label.name in text
        assert f"Serial {label.serial}" in text
        assert label.code in text
        for key in label.figures:
            assert judged.ledger[key].text.replace("\u00a0", " ") in text
    assert labels["d-001"].figures == ("unit.d-001.calibration.due",)
    assert "CALIBRATION DUE" in text
    assert "Before use" in text
    assert text.count("DRAFT: not for use") == 2


def test_a_serial_too_long_is_refused_with_unit_sheet_and_millimetres(judged, labels):
    long = replace(labels["d-001"], serial="A" * 45)
    with pytest.raises(FitError, match=r"label d-001 on sheet small \(en\): block id: \d+\.\d mm right of"):
        render_labels([set_on(GRIDS[0], [long, labels["d-002"]])], judged.ledger.figures)


def test_more_lines_than_a_label_holds_are_refused(judged, labels):
    tall = replace(labels["d-001"], lines=labels["d-001"].lines * 12)
    with pytest.raises(FitError, match=r"label d-001 on sheet small \(en\): .*mm below the safe area"):
        render_labels([set_on(GRIDS[0], [tall])], judged.ledger.figures)


def test_two_labels_of_one_unit_are_refused(judged, labels):
    with pytest.raises(FitError, match=r"label d-001 on sheet small \(en\): laid out 2 times"):
        render_labels([set_on(GRIDS[0], [labels["d-001"]] * 2)], judged.ledger.figures)


def test_a_grid_that_leaves_the_paper_is_refused(judged, labels):
    wide = replace(GRIDS[0], columns=4)
    with pytest.raises(RenderError, match=r"leaves A4 paper by \d+\.\d mm"):
        render_labels([set_on(wide, labels.values())], judged.ledger.figures)


@pytest.mark.parametrize(("copies", "start", "count"), [(1, 1, 210), (1, 1, 211), (3, 5, 450), (50, 21, 61), (1, 1, 3)])
def test_many_labels_are_parted_into_files_of_whole_sheets(labels, copies, start, count):
    wanted = replace(set_on(GRIDS[0], many(labels, count)), copies=copies, start=start)
    made = parts(wanted)
    assert [label for part in made for label in part.labels] == list(wanted.labels)
    assert all(1 <= part.sheets <= SHEETS_A_FILE for part in made)
    assert len({part.path for part in made}) == len(made)
    total = sum(part.sheets for part in made)
    at = 0
    for part in made:
        assert (part.before, part.before + part.sheets + part.after) == (at, total)
        at += part.sheets
    places_taken = start - 1 + count * copies
    assert (len(made) == 1) == (places_taken <= SHEETS_A_FILE * 21), "one file as long as it holds them"
    assert made[0].start == start
    assert {part.start for part in made[1:]} <= {1}, "no sheet is fed twice"


def test_sheets_of_a_part_are_counted_over_all_files(judged, labels):
    pages = replace(set_on(GRIDS[0], many(labels, 22)), part=2, before=20, after=3)
    (done,) = render_labels([pages], judged.ledger.figures)
    said = [" ".join(word for word, *_ in page) for page in word_boxes(done.pdf)]
    assert "21 of 25" in said[0]
    assert "22 of 25" in said[1]


def test_bytes_are_the_same_again(judged, labels):
    pages = set_on(GRIDS[0], labels.values())
    assert render_labels([pages], judged.ledger.figures) == render_labels([pages], judged.ledger.figures)


def test_the_code_follows_what_is_printed_and_nothing_else(judged, labels):
    due = judged.ledger["unit.d-001.calibration.due"]
    moved = replace(
        judged.ledger, figures={**judged.ledger.figures, due.key: replace(due, text="1\u00a0Oct\u00a02026")}
    )
    later = replace(judged.ledger["handbook.as-of"], text="26\u00a0Nov\u00a02026")
    unmoved = replace(judged.ledger, figures={**judged.ledger.figures, later.key: later})
    program = judged.program
    assert unit_labels(computed_with(program, moved), draft=True)["d-001"].code != labels["d-001"].code
    assert unit_labels(computed_with(program, moved), draft=True)["d-002"].code == labels["d-002"].code
    assert unit_labels(computed_with(program, unmoved), draft=True) == labels
    assert re.fullmatch(r"LEY-[2-9A-Z]{5}", labels["d-001"].code)


def test_a_unit_that_must_not_be_used_says_so_and_a_retired_one_has_no_label(judged):
    unit = judged.program.units["d-001"]
    for state, words in (("quarantined", "Quarantined: do not use"), ("retired", None)):
        program = replace(judged.program, units={"d-001": replace(unit, state=unit.state.becoming(state))})
        made = unit_labels(computed_with(program, judged.ledger), draft=False)
        assert [label.large[0].text for label in made.values()] == ([words] if words else [])


# ---- copies, half-used sheets, languages -------------------------------------------


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    return judged_papers(tmp_path_factory.mktemp("papers") / "site")


def test_a_half_used_sheet_is_used_up_and_copies_lie_side_by_side(papers):
    """The content asks for three copies from place 23 of 24 on: two on the first sheet, four on the second."""
    used = next(pages for pages in label_pages(papers.computed, draft=True).papers if pages.grid.id == "used")
    (done,) = render_labels([used], papers.ledger.figures)
    pages = word_boxes(done.pdf)
    spots = places(used.grid)
    found = [
        sorted(next(n for n, at in enumerate(spots, start=1) if inside(box, at)) for box in page if box[0] == unit)
        for unit in ("d-001", "d-002")
        for page in pages[:2]
    ]
    assert found == [[23, 24], [1], [], [2, 3, 4]]
    said = [" ".join(box[0] for box in page) for page in pages]
    assert [re.findall(r"Bogen \d von \d", one) for one in said] == [["Bogen 1 von 2"], ["Bogen 2 von 2"], []]


def inside(box, at):
    _, left, top, right, bottom = box
    return at.left <= left and right <= at.left + at.width and at.top <= top and bottom <= at.top + at.height


@pytest.mark.parametrize(
    ("keys", "fault"),
    [
        ("start-at: 25", "starts at place 25; allowed: 1 to 24, its places"),
        ("start-at: 0", "'0' for 'start-at'; allowed: a whole number of at least 1"),
        ("copies: 101", "101 copies; allowed: 1 to 100"),
        ("language: fr", "'fr' for 'language'; allowed: one of en, es, de, pl, pt"),
    ],
)
def test_what_a_sheet_cannot_do_is_refused_with_its_line(tmp_path, keys, fault):
    text = (
        "sheets:\n  - {id: used, paper: Letter, label: 66.675 mm × 30 mm, columns: 3, rows: 8, left: 4.7 mm, "
        f"top: 12.7 mm, gap-x: 3.2 mm, gap-y: 1.5 mm, {keys}}}\n"
    )
    with pytest.raises(ContentError, match=r"labels\.yaml:2") as caught:
        judged_papers(tmp_path / "site", labels=text)
    assert fault in str(caught.value)


@pytest.mark.parametrize("language", sample_of(LANGUAGES, 3))
def test_a_label_fits_in_every_language_and_its_code_is_the_same(papers, language):
    """Each day a third of the languages; `make trust` takes all."""
    speaker = Translator(program=papers.program, wording=NotingWording(language=language))
    made = unit_labels(papers.computed, draft=True, translator=speaker)
    english = unit_labels(papers.computed, draft=True)
    assert [label.code for label in made.values()] == [label.code for label in english.values()]
    assert (made == english) is (language == "en")
    for sheet in (*GRIDS[:2], replace(GRIDS[2], height=33, gap_y=0)):
        pages = replace(set_on(sheet, made.values()), language=language, copies=sheet.columns * sheet.rows + 1)
        (done,) = render_labels([pages], papers.ledger.figures)
        assert PdfReader(BytesIO(done.pdf)).trailer["/Root"]["/Lang"] == language
        if die_cut(sheet, paper(sheet.paper)).bar:
            first = [box for box in word_boxes(done.pdf)[0] if box[4] < sheet.top]
            lines = sorted(first, key=lambda box: box[1])
            assert max(box[3] for box in lines) <= paper(sheet.paper).width - EDGE + 0.1
            assert all(one[3] <= after[1] + 0.05 for one, after in pairwise(lines)), "the number of the sheet is free"


def test_a_german_label_has_german_words_and_dates(papers):
    used = next(pages for pages in label_pages(papers.computed, draft=True).papers if pages.grid.id == "used")
    (done,) = render_labels([used], papers.ledger.figures)
    text = subprocess.run(["pdftotext", "-", "-"], input=done.pdf, capture_output=True, check=True).stdout.decode()
    text = re.sub(r"\s+", " ", text)
    for words in ("Seriennr. T2-0001", "KALIBRIERUNG FÄLLIG 30. Sept. 2026", "ENTWURF: nicht "):
        assert words in text


def test_content_without_translation_warns_in_a_draft_and_stops_a_release(papers, tmp_path):
    found = [one for one in papers.findings if one.rule == "translation-missing"]
    assert found
    assert {one.severity for one in found} == {Severity.WARN}
    named = [one.message for one in found if "labels used" in one.message and "“Two-gas, pumped”" in one.message]
    assert len(named) == 1
    assert not any("Fresh-air zero" in one.message for one in found), "it has a German name"
    released = judge(paper_site(tmp_path / "site"), DAY, release=True)
    assert {one.severity for one in released.findings if one.rule == "translation-missing"} == {Severity.STOP}


def test_a_bar_stands_in_whichever_margin_holds_it():
    above, below = GRIDS[0], replace(GRIDS[1], top=6, rows=4)
    neither = GRIDS[1]
    bars = [die_cut(grid, paper(grid.paper)).bar for grid in (above, below, neither)]
    assert bars[0].top < above.top
    assert bars[1].top > below.top + below.rows * below.height
    assert bars[2] is None
    assert paper("A4").height - neither.top - neither.rows * neither.height < BAR_ROOM


def test_the_smallest_label_has_room_in_arabic_and_too_low_ones_are_refused_in_one_line():
    demo = judged_once(DEMO, DEMO_DAY)
    speaker = Translator(program=demo.program, wording=NotingWording(language="ar"))
    made = unit_labels(demo.computed, draft=True, translator=speaker)
    four = [replace(one, lines=(), spare=()) for one in made.values() if one.signed][:4]
    least = grid("least", *LEAST)
    pages = LabelPages(grid=least, labels=tuple(four), language="ar", draft=True)
    (done,) = render_labels([pages], demo.ledger.figures)
    assert done.pages == 2
    with pytest.raises(FitError) as refused:
        render_labels([replace(pages, grid=replace(least, height=17))], demo.ledger.figures)
    told = re.findall(r"label d-001 on sheet least \(ar\) and 3 more: block id: ([\d.]+) mm below", str(refused.value))
    assert len(told) == 1
    assert 1 < float(told[0]) < 4  # 21.2 mm less 17 mm, and what was free


# ---- what a label has room for -------------------------------------------------------

LEAST = ("A4", (45.7, 21.2), (4, 12), (9.8, 21.3), (2.5, 0))
TRADE = ("A4", (63.5, 29.6), (3, 9), (7.2, 15.3), (2.5, 0))
"""The sizes of labels that hand-held units have room for."""


def demo_labels(size, language="en", units=("d-001", "d-004", "d-033"), draft=False):
    """Labels of the demo with short and long names, set; each with its text from above."""
    demo = judged_once(DEMO, DEMO_DAY)
    speaker = Translator(program=demo.program, wording=NotingWording(language=language))
    made = unit_labels(demo.computed, draft=draft, translator=speaker)
    pages = LabelPages(
        grid=grid("tried", *size), labels=tuple(made[unit] for unit in units), language=language, draft=draft
    )
    lost = [name for label in fitted_labels(pages, demo.ledger.figures).labels for name in label.left_out]
    (done,) = render_labels([pages], demo.ledger.figures)
    spots = places(pages.grid)
    page = sorted(word_boxes(done.pdf)[0], key=lambda box: (round(box[2], 1), box[1]))
    return [" ".join(box[0] for box in page if inside(box, spots[at])) for at in range(len(units))], lost


def in_order(text, *words):
    found = [text.find(word) for word in words]
    return -1 not in found and found == sorted(found)


def test_a_label_of_a_trade_sheet_has_everything_in_one_order():
    (first, long, five), lost = demo_labels(TRADE)
    assert lost == []
    assert in_order(first, "CALIBRATION DUE", "2027", "Four-gas, pumped", "Oxygen,", "Inlet wet well", "TMW-4P-3137")
    assert in_order(long, "CALIBRATION DUE", "2027", "Four-gas, pumped", "CO", "manholes", "TMW-4P-3248")
    assert in_order(five, "CALIBRATION DUE", "2027", "Five-gas", "CO₂")
    assert all("By" in text and "Inspection due" in text for text in (first, long, five))


def test_the_smallest_label_keeps_that_order_and_says_what_it_has_no_room_for():
    (first, long, five), lost = demo_labels(LEAST)
    assert in_order(first, "CALIBRATION DUE", "2027", "Four-gas, pumped", "CO", "Inlet", "well", "d-001", "TMW-4P-3137")
    assert in_order(long, "CALIBRATION DUE", "2027", "Four-gas, pumped", "CO", "manholes", "TMW-4P-3248")
    assert in_order(five, "CALIBRATION DUE", "2027", "Five-gas", "CO₂")
    assert all("By" in text for text in (first, long, five))
    assert lost.count("others") == 3
    assert lost.count("kept") == 1, "five gases and their model fill it"


def test_labels_in_arabic_fit_the_sheets_of_the_trade_and_their_box_has_room_to_write():
    for size in (LEAST, TRADE):
        texts, _ = demo_labels(size, "ar", draft=True)
        assert all("2027" in text for text in texts)


SIZES = ((38.1, 21.2), (40, 20), (45, 20), (48.5, 25.4), (55, 28), (60, 25.4), (60, 30), (70, 36))
ONE_OF_EACH_MODEL = ("d-001", "d-014", "d-033", "d-040", "d-047", "d-053")


@pytest.mark.parametrize("language", ["en", "es", "ar"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_what_is_counted_to_have_room_has_it_whatever_the_size(size, language):
    """Sizes of labels in trade (common practice, no source). A line more than there is room for would be refused."""
    texts, _ = demo_labels(("A4", size, (2, 3), (4, 12), (2, 2)), language, ONE_OF_EACH_MODEL, draft=True)
    assert all("2027" in text and unit in text for text, unit in zip(texts, ONE_OF_EACH_MODEL, strict=True))


@pytest.mark.parametrize("language", REGISTERED)
def test_labels_of_units_cylinders_and_hoses_fit_the_sheets_of_the_demo_in_every_language(language):
    """All that labels of cylinders and hoses tell is printed: nothing of it may be left out."""
    demo = judged_once(DEMO, DEMO_DAY)
    spoken = tuple(replace(one, language=Given(language, HERE, language)) for one in demo.program.labels)
    computed = computed_with(replace(demo.program, labels=spoken), demo.ledger)
    figures = spoken_figures(demo.ledger.figures, language)
    for pages in label_pages(computed, draft=True).papers:
        told = [one for one in pages.labels if pages.kind != "units" or one.name in ONE_OF_EACH_MODEL]
        (done,) = render_labels([replace(pages, labels=tuple(told))], demo.ledger.figures)
        printed = "".join(word for page in word_boxes(done.pdf) for word, *_ in page)
        keys = [key for one in told for key in one.figures if pages.kind != "units"]
        numbers = [number for key in keys for number in re.findall(r"\d[\d.,]*", figures[key].text)]
        assert [number for number in numbers if number not in printed] == []


def test_what_is_left_out_stands_on_the_page_to_try_the_printer_with():
    demo = judged_once(DEMO, DEMO_DAY)
    made = unit_labels(demo.computed, draft=True)
    pages = LabelPages(grid=grid("tried", *LEAST), labels=(made["d-033"],), language="en", draft=True)
    (done,) = render_labels([pages], demo.ledger.figures)
    text = " ".join(word for word, *_ in word_boxes(done.pdf)[-1])
    assert "Not on every label, for want of room: Area, Other checks due" in text
