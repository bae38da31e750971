"""Log sheets: what the ledger says stands on them, there is room to write, and text that does not fit is refused."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from io import BytesIO
from itertools import combinations, pairwise

import pytest
from pypdf import PdfReader

from builder.base.errors import ContentError, FitError, RenderError
from builder.figures.computed import computed_of
from builder.pages.forms import log_sheets
from builder.pages.log_rows import DATED_LINES, SPARE_LINES, LogLine
from builder.pipeline import judge
from builder.program.paper_settings import USUAL_DAYS as DAILY_LINES
from builder.render.forms import form_document
from builder.render.imposition import FOOT
from tests.render.paper_site import DAY, MINIMAL, judged_papers
from tests.rendered import render_forms
from tests.shared import computed_with
from tests.trust.long import sample_of

MM = 72 / 25.4


@pytest.fixture(scope="module")
def judged():
    return judge(MINIMAL, DAY)


@pytest.fixture(scope="module")
def sheets(judged):
    return {sheet.id: sheet for sheet in log_sheets(judged.computed, draft=True).papers}


@pytest.fixture(scope="module")
def made(judged, sheets):
    return {form.path: form for form in render_forms(tuple(sheets.values()), judged.ledger.figures)}


def words(data: bytes) -> str:
    done = subprocess.run(["pdftotext", "-layout", "-", "-"], input=data, capture_output=True, check=True)
    return re.sub(r"\s+", " ", done.stdout.decode())


def test_there_is_a_sheet_a_check_and_place(sheets, made):
    assert set(sheets) == {"bump-test-pit", "calibration-pit", "bump-test--pools", "calibration--pools"}
    assert set(made) == {f"forms/{name}.pdf" for name in sheets}


def test_every_figure_a_sheet_says_it_prints_is_on_it_by_two_readers(judged, sheets, made):
    for sheet in sheets.values():
        pdf = made[sheet.path].pdf
        readers = (words(pdf), " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages))
        for text in readers:
            packed = re.sub(r"\s", "", text)
            for key in sheet.figures:
                assert re.sub(r"\s", "", judged.ledger[key].text) in packed, (sheet.id, key)


def test_unit_serial_cylinder_window_and_alarms_are_printed(judged, made):
    text = words(made["forms/calibration-pit.pdf"].pdf)
    ledger = judged.ledger
    low, high = (ledger[f"window.c-001.cat-flammable.calibration.{part}"].text for part in ("from", "to"))
    alarms = [ledger[f"setpoint.pit.flammable.{alarm}"].text for alarm in ("low", "high")]
    assert f"Gas: {low} to {high}" in text
    assert f"Alarms: {alarms[0]}, {alarms[1]}" in text
    assert [text.count(word) for word in ("d-001", "T2-0001", "c-001")] == [2, 2, 1], (
        "nobody signs for a printed bottle"
    )
    for head in (
        "as found",
        "as left",
        "Lot of",
        "Its last",
        "Pass or",
        "By",
        "Day and time",
        "DRAFT: not",
        "Invented",
    ):
        assert head in text


def test_a_serial_that_begins_with_a_digit_is_no_part_of_the_units_number(judged, sheets):
    sheet = sheets["bump-test-pit"]
    line = replace(sheet.groups[0].lines[0], unit="d-001", serial="77")
    alone = replace(sheet, groups=(replace(sheet.groups[0], lines=(line,)),))
    told = re.sub(r"<[^>]*>", "", form_document(alone, judged.ledger.figures).html)
    assert ("001", "77") in pairwise(re.findall("[0-9]+", told))


def test_a_daily_check_has_lines_for_a_week_and_spare_ones(sheets, made):
    (group,) = sheets["bump-test-pit"].groups
    assert [line.unit for line in group.lines] == ["d-001"] * DAILY_LINES + [""] * SPARE_LINES
    assert words(made["forms/bump-test-pit.pdf"].pdf).count("d-001 ") == DAILY_LINES
    for name in (
        "bump-test-pit",
        "bump-test--pools",
    ):  # of the second no cylinder is told, and it is tested with gas too
        (group,) = sheets[name].groups
        assert [column.name for column in group.write] == [
            *("Lot of the cylinder", "Its last day", "Sounds, shows, shakes, in", "Pass or fail: ring it", "By"),
        ]


def test_a_sheet_lies_on_its_paper_with_lines_of_eight_millimetres(judged, sheets):
    for paper, size in (("A4", (297, 210)), ("Letter", (279.4, 215.9))):
        sheet = replace(sheets["calibration-pit"], paper=paper)
        (form,) = render_forms([sheet], judged.ledger.figures)
        box = PdfReader(BytesIO(form.pdf)).pages[0].mediabox
        assert (box.width / 72 * 25.4, box.height / 72 * 25.4) == pytest.approx(size, abs=0.05)
        done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=form.pdf, capture_output=True, check=True)
        tops = [
            float(top) / MM
            for top in re.findall(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="[\d.]+">d-001<', done.stdout.decode())
        ]
        assert len(tops) == DATED_LINES
        assert tops[1] - tops[0] >= 8
        words_at = re.findall(
            r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)"', done.stdout.decode()
        )
        decor = 40  # the word behind a draft is set larger than anything else
        for left, top, right, bottom in ([float(number) / MM for number in at] for at in words_at):
            if bottom - top < decor:
                assert left >= 9.9
                assert right <= size[0] - 9.9


def test_a_text_too_long_for_its_column_is_refused_with_sheet_and_millimetres(judged, sheets):
    sheet = sheets["bump-test-pit"]
    (group,) = sheet.groups
    long = replace(group.lines[0], unit="d-0000000000000000001")
    broken = replace(sheet, groups=(replace(group, lines=(long, *group.lines[1:])),))
    with pytest.raises(FitError, match=r"log sheet bump-test-pit \(en\), page 1: .*\d mm right of its table cell"):
        render_forms([broken], judged.ledger.figures)


def long_serial(sheet):
    (group,) = sheet.groups
    lines = (replace(group.lines[0], serial="T2-0001-" + "0123456789" * 3), *group.lines[1:])
    return replace(sheet, groups=(replace(group, lines=lines),))


def test_a_serial_that_takes_two_lines_makes_all_lines_of_its_group_higher(judged, sheets):
    (form,) = render_forms([long_serial(sheets["bump-test-pit"])], judged.ledger.figures)
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=form.pdf, capture_output=True, check=True)
    rows = re.findall(r'yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">F<', done.stdout.decode())
    verdicts = [float(top) / MM for top, low in rows if float(low) - float(top) < 5 * MM]  # not of the word DRAFT
    apart = [below - above for above, below in pairwise(verdicts)]
    assert len(apart) >= len(sheets["bump-test-pit"].groups[0].lines) - 1
    assert min(apart) > 8.2 + 1
    assert max(apart) == pytest.approx(min(apart), abs=0.35), "a thick line takes 0.3 mm of the line above it"


def test_lines_that_are_not_as_high_as_they_are_drawn_are_refused(judged, sheets, monkeypatch):
    monkeypatch.setattr("builder.render.form_fill.serial_lines", lambda *_: 1)
    with pytest.raises(FitError, match=r"page 1: block lines 1: a line is \d+\.\d\d mm high, and drawn 8\.20 mm high"):
        render_forms([long_serial(sheets["bump-test-pit"])], judged.ledger.figures)


def test_more_channels_than_the_paper_holds_stand_in_parts_below_each_other(judged, sheets):
    sheet = sheets["bump-test-pit"]
    (group,) = sheet.groups
    gases = [f"Gas {number}" for number in range(1, 11)]
    channels = tuple(replace(group.channels[0], name=name) for name in gases)
    for paper in ("A4", "Letter"):
        many = replace(sheet, paper=paper, groups=(replace(group, channels=channels),))
        (form,) = render_forms([many], judged.ledger.figures)
        text = words(form.pdf)
        assert all(gas in text for gas in gases)
        assert "1/2" in text
        assert "2/2" in text
        assert text.count("Lot of the") == text.count("2/2"), "what is filled in once a line is asked in the last part"


def test_too_many_readings_of_one_channel_are_refused(judged, sheets):
    sheet = sheets["calibration-pit"]
    (group,) = sheet.groups
    wide = replace(group.channels[0], write=group.channels[0].write * 20)
    broken = replace(sheet, groups=(replace(group, channels=(wide,)),))
    with pytest.raises(RenderError, match=r"columns for readings need \d+\.0 mm, of which .* 144\.0 mm: Two-gas"):
        render_forms([broken], judged.ledger.figures)


def test_the_last_page_is_filled_to_its_foot_and_free_lines_never_begin_another(judged, sheets, made, monkeypatch):
    """The lowest line ends less than two lines above the foot, measured by poppler."""
    for path, form in made.items():
        done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=form.pdf, capture_output=True, check=True)
        last = done.stdout.decode().split("<page ")[-1]
        height = float(re.search(r'height="([\d.]+)"', last)[1]) / MM
        rows = [float(low) / MM for low in re.findall(r'yMax="([\d.]+)">F<', last)]
        assert rows, path
        assert height - 17 - 2 * 8.2 - 4 - 3 <= max(rows) <= height - 17, path
    monkeypatch.setattr("builder.render.form_fill.free_rows", lambda *_: 0)
    plain = render_forms(tuple(sheets.values()), judged.ledger.figures)
    assert [form.pages for form in plain] == [made[form.path].pages for form in plain]


def crowded(sheet, before, units):
    """A sheet of two groups of units with five lines each."""
    (group,) = sheet.groups
    lines = [replace(group.lines[0], unit=f"d-{number:03}") for number in range(before + units) for _ in range(5)]
    return replace(
        sheet,
        groups=(replace(group, lines=tuple(lines[: 5 * before])), replace(group, lines=tuple(lines[5 * before :]))),
    )


@pytest.mark.parametrize("before", [2, 3])
def test_the_lines_of_a_unit_stay_on_one_page_wherever_its_group_begins(judged, sheets, before):
    """The engine alone tears those of the first unit below a head that begins low on a page."""
    [form] = render_forms([crowded(sheets["bump-test-pit"], before, 4)], judged.ledger.figures)
    pages = [re.findall(r"d-\d{3}", page.extract_text()) for page in PdfReader(BytesIO(form.pdf)).pages]
    found = [(unit, page.count(unit)) for page in pages for unit in dict.fromkeys(page)]
    assert found == [(f"d-{number:03}", 5) for number in range(before + 4)]


def test_free_lines_alone_begin_where_there_is_room_and_run_on(judged, sheets):
    """Tests of the air after the first: held together they would leave the rest of the first page empty."""
    (group,) = sheets["bump-test-pit"].groups
    levels = tuple(replace(group.lines[0], unit=str(number)) for number in range(1, 10))
    after = replace(group, title="Tests after it", lines=(LogLine(),) * 10)
    sheet = replace(sheets["bump-test-pit"], groups=(replace(group, lines=levels), after))
    [form] = render_forms([sheet], judged.ledger.figures)
    pages = [page.extract_text() for page in PdfReader(BytesIO(form.pdf)).pages]
    assert ["Tests after it" in page for page in pages] == [True, True]


def test_free_lines_as_found_and_as_left_are_parted_from_the_next_two_as_those_of_units_are(judged, sheets):
    document = form_document(sheets["calibration-pit"], judged.ledger.figures)
    assert document.html.count(">as left<") > 2
    assert 'class="spare' not in document.html
    assert 'class="spare' in form_document(sheets["bump-test-pit"], judged.ledger.figures).html


@pytest.mark.parametrize("before", [2, 3])
def test_each_page_of_a_sheet_holds_all_that_it_has_room_for(judged, sheets, before):
    """Whether it ends where its last line does is measured by poppler: the next five would not have fitted."""
    [form] = render_forms([crowded(sheets["bump-test-pit"], before, 4)], judged.ledger.figures)
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=form.pdf, capture_output=True, check=True)
    pages = done.stdout.decode().split("<page ")[1:]
    assert len(pages) > 1
    for page in pages[:-1]:
        height = float(re.search(r'height="([\d.]+)"', page)[1]) / MM
        last = max(float(low) / MM for low in re.findall(r'yMax="([\d.]+)">d-\d{3}<', page))
        assert last + 5 * 8.2 + 40 > height - FOOT, "a head takes less than 40 mm"


def test_bytes_depend_on_neither_order_nor_jobs(judged, sheets, made):
    again = render_forms(tuple(reversed(tuple(sheets.values()))), judged.ledger.figures, jobs=2)
    assert {form.path: form.pdf for form in again} == {path: form.pdf for path, form in made.items()}


def test_a_released_sheet_bears_no_draft_mark(judged):
    sheet = log_sheets(judged.computed, draft=False).papers[0]
    (form,) = render_forms([sheet], judged.ledger.figures)
    assert "DRAFT" not in words(form.pdf)
    assert "Revision 1" in words(form.pdf)


def test_two_checks_and_areas_cannot_share_a_file(judged):
    program = judged.program
    pit, bump = program.areas["pit"], program.checks["bump-test"]
    unit = program.units["d-001"]
    area = unit.area
    twins = replace(
        program,
        areas={"pit": pit, "test-pit": replace(pit, id="test-pit")},
        checks={"bump-test": bump, "bump": replace(bump, id="bump")},
        units={"d-001": unit, "b": replace(unit, id="b", area=area.becoming("test-pit"))},
    )
    paths = [
        sheet.path
        for sheet in log_sheets(computed_of(twins, judged.ledger, judged.computed.logbook), draft=True).papers
    ]
    assert len(set(paths)) == len(paths) == 4


# ---- what is done together ---------------------------------------------------------

FORMS = """
languages: [en]
days: 3
areas:
  - {area: pit, languages: [en, es, de, pl, pt]}
"""


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    return judged_papers(tmp_path_factory.mktemp("papers") / "site", forms=FORMS)


@pytest.fixture(scope="module")
def together(papers):
    return {sheet.name: sheet for sheet in log_sheets(papers.computed, draft=True).papers}


def test_what_is_done_before_each_days_use_shares_a_row_and_other_checks_keep_a_sheet(together):
    assert {name: sheet.checks for name, sheet in together.items() if sheet.language == "en"} == {
        "daily-pit": ("flow-block", "zero", "bump-test"),
        "calibration-pit": ("calibration",),
        "look-pit": ("look",),
        "daily--pools": ("flow-block", "zero", "bump-test"),
        "calibration--pools": ("calibration",),
        "look--pools": ("look",),
    }
    (group,) = together["daily-pit"].groups
    assert [line.unit for line in group.lines] == ["d-001"] * 3 + [""] * SPARE_LINES
    assert [[column.name for column in channel.write] for channel in group.channels] == [
        ["Clean air", "Gas"],
        ["Zero", "Gas"],
    ]
    assert [column.name for column in group.write] == [
        "Lot of the cylinder", "Its last day", "Zero set", "Inlet closed: alarm in", "Sounds, shows, shakes, in",
        "Pass or fail: ring it", "By",
    ]  # fmt: skip


def test_every_known_value_of_the_checks_stands_on_the_sheet_they_share(papers, together):
    """Waits, window, alarms, cylinder and its last day: by the ledger, not by the sheet."""
    ledger = papers.ledger
    (form,) = render_forms([together["daily-pit"]], ledger.figures)
    text = words(form.pdf)
    key = "window.c-001.cat-flammable.bump-test"
    for said in (
        f"Fresh-air zero: Wait {ledger['check.zero.gas-time'].text} s.",
        f"Bump test: Let gas flow {ledger['check.bump-test.gas-time'].text} s.",
        f"Every alarm must sound within {ledger['check.bump-test.alarms-within'].text} s.",
        f"Inlet closed, it must alarm within {ledger['model.two-pumped.flow-block'].text} s.",
        f"Through the hose of this area wait {ledger['hose.pit.two-pumped.wait'].text} s.",
        f"Gas: {ledger[f'{key}.from'].text} to {ledger[f'{key}.to'].text}",
        f"Alarms: {ledger['setpoint.pit.flammable.low'].text}, {ledger['setpoint.pit.flammable.high'].text}",
        "with cylinder c-001",
    ):
        assert said in text


def test_a_check_may_keep_a_sheet_of_its_own(tmp_path):
    judged = judged_papers(tmp_path / "site", forms="separate: [zero, bump-test]\n")
    made = {sheet.id: sheet for sheet in log_sheets(judged.computed, draft=True).papers}
    assert {name for name in made if name.endswith("-pit")} == {
        "flow-block-pit", "bump-test-pit", "calibration-pit", "zero-pit", "look-pit",
    }  # fmt: skip
    (group,) = made["zero-pit"].groups
    assert [[column.name for column in channel.write] for channel in group.channels] == [["As found", "As left"]] * 2
    assert made["zero-pit"].title == "Fresh-air zero"


def test_a_second_check_with_gas_and_a_daily_calibration_never_share_a_row(papers):
    program = papers.program
    bump, calibration = program.checks["bump-test"], program.checks["calibration"]
    more = {
        **program.checks,
        "check": replace(bump, id="check", kind="calibration-check"),
        "calibration": replace(calibration, intervals=bump.intervals),
    }
    made = {
        one.id: one.checks
        for one in log_sheets(computed_with(replace(program, checks=more), papers.ledger), draft=True).papers
    }
    assert made["daily-pit"] == ("flow-block", "zero", "bump-test")
    assert made["check-pit"] == ("check",)
    assert made["calibration-pit"] == ("calibration",)


def test_a_check_called_daily_does_not_take_the_file_of_the_shared_sheet(papers):
    program = papers.program
    checks = {**program.checks, "daily": replace(program.checks["look"], id="daily")}
    made = [
        one.path for one in log_sheets(computed_with(replace(program, checks=checks), papers.ledger), draft=True).papers
    ]
    assert len(set(made)) == len(made)
    assert {"forms/daily-use-pit.pdf", "forms/daily-pit.pdf"} <= set(made)


@pytest.mark.parametrize("language", sample_of(["es", "de", "pl", "pt"], 2))
def test_a_sheet_in_another_language_fits_and_has_its_words_and_marks(papers, together, language):
    """Two of them each day, the others on the next; `make trust` sets all."""
    for kind in ("daily", "calibration", "look"):
        sheet = together[f"{kind}-pit.{language}"]
        assert sheet.path == f"forms/{kind}-pit.{language}.pdf"
        for paper in ("A4", "Letter"):
            (form,) = render_forms([replace(sheet, paper=paper)], papers.ledger.figures)
            text = words(form.pdf)
            assert PdfReader(BytesIO(form.pdf)).trailer["/Root"]["/Lang"] == language
            for english in ("Log sheet", "Unit, serial", "Pass or fail", "DRAFT", "Invented", "Signature"):
                assert english not in text
            boxes = foot_boxes(form.pdf, {"A4": 210, "Letter": 215.9}[paper])
            assert not any(overlap(one, other) for one, other in combinations(boxes, 2))
    assert together[f"calibration-pit.{language}"].title == "Calibration", "without translation it is said in English"


def test_numbers_on_a_sheet_have_the_decimal_mark_of_its_language(papers, together):
    (group,) = together["daily-pit.de"].groups
    oxygen = next(channel for channel in group.channels if channel.name == "Sauerstoff")
    (form,) = render_forms([together["daily-pit.de"]], papers.ledger.figures)
    low = papers.ledger["window.c-001.o2-cell.bump-test.from"].text
    assert "." in low
    assert f"Gas: {low.replace('.', ',')} bis " in words(form.pdf)
    assert oxygen.unit == "%vol"


def foot_boxes(pdf: bytes, height: float) -> list[tuple[float, float, float, float]]:
    """Boxes of the words below the table, in millimetres."""
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    found = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)"', done)
    words_at = [tuple(float(number) / MM for number in box) for box in found]
    return [box for box in words_at if box[1] > height - FOOT and box[3] - box[1] < 10]


def overlap(one, other) -> bool:
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > 0.1 and down > 0.9  # line boxes reach over the ink of the lines above and below


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("days: 32\n", "32 days; allowed: 1 to 31"),
        ("separate: [bumps]\n", "bumps"),
        ("languages: [fr]\n", "'fr' for 'languages'; allowed: one of en, es, de, pl, pt"),
        ("areas:\n  - {area: pit, languages: [en]}\n  - {area: pit, languages: [de]}\n", "area 'pit' twice"),
        ("areas:\n  - {area: pits, languages: [en]}\n", "pits"),
        ("weeks: 2\n", "unknown key 'weeks'"),
    ],
)
def test_what_forms_yaml_cannot_say_is_refused_with_its_line(tmp_path, text, fault):
    with pytest.raises(ContentError, match=r"forms.yaml:\d") as caught:
        judged_papers(tmp_path / "site", forms=text)
    assert fault in str(caught.value)
