"""Log sheets: what the ledger says stands on them, there is room to write, and text that does not fit is refused."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from builder.base.errors import FitError, RenderError
from builder.pages.forms import DAILY_LINES, DATED_LINES, SPARE_LINES, log_sheets
from builder.pipeline import judge
from builder.render.forms import render_forms

MINIMAL = Path(__file__).parents[1] / "sites" / "minimal"
MM = 72 / 25.4


@pytest.fixture(scope="module")
def judged():
    return judge(MINIMAL, date(2026, 11, 25))


@pytest.fixture(scope="module")
def sheets(judged):
    return {sheet.id: sheet for sheet in log_sheets(judged.program, judged.ledger, draft=True)}


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
    assert f"Passes: {low} to {high}" in text
    assert f"Alarms: low {alarms[0]}, high {alarms[1]}" in text
    assert [text.count(word) for word in ("d-001", "T2-0001", "c-001")] == [DATED_LINES, DATED_LINES, DATED_LINES + 1]
    for head in ("As found", "As left", "Pass or", "By", "Day and time", "DRAFT: not for use", "Invented"):
        assert head in text


def test_a_daily_check_has_lines_for_a_week_and_spare_ones(sheets, made):
    (group,) = sheets["bump-test-pit"].groups
    assert [line.unit for line in group.lines] == ["d-001"] * DAILY_LINES + [""] * SPARE_LINES
    assert words(made["forms/bump-test-pit.pdf"].pdf).count("d-001 ") == DAILY_LINES
    assert group.write == ("All alarms after", "Pass or fail", "By")


def test_a_sheet_lies_on_its_paper_with_lines_of_seven_millimetres(judged, sheets):
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
        assert tops[1] - tops[0] >= 7
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
    with pytest.raises(FitError, match=r"log sheet bump-test-pit, page 1: .*\d mm right of its table cell"):
        render_forms([broken], judged.ledger.figures)


def test_too_many_readings_for_the_paper_are_refused(judged, sheets):
    sheet = sheets["calibration-pit"]
    (group,) = sheet.groups
    broken = replace(sheet, groups=(replace(group, channels=group.channels * 9),))
    with pytest.raises(RenderError, match="do not fit on A4 paper"):
        render_forms([broken], judged.ledger.figures)


def test_bytes_depend_on_neither_order_nor_jobs(judged, sheets, made):
    again = render_forms(tuple(reversed(tuple(sheets.values()))), judged.ledger.figures, jobs=2)
    assert {form.path: form.pdf for form in again} == {path: form.pdf for path, form in made.items()}


def test_a_released_sheet_bears_no_draft_mark(judged):
    sheet = log_sheets(judged.program, judged.ledger, draft=False)[0]
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
        units={"a": unit, "b": replace(unit, id="b", area=area.becoming("test-pit"))},
    )
    paths = [sheet.path for sheet in log_sheets(twins, judged.ledger, draft=True)]
    assert len(set(paths)) == len(paths) == 4
