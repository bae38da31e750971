"""Exports as they come each month, invented: title rows, sheets, other encodings; read as they are or refused."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from fractions import Fraction

import pytest
from openpyxl import Workbook

from builder.load.xlsx_cells import UNMERGED

SEMICOLONS = """\
Prüfprotokoll Außenstelle;;;;;
Ausdruck vom 25.11.2026;;;;;

Gerät;Datum;Uhrzeit;Sensor;Anzeige;Ergebnis
d-001;24.11.2026;06:40;O2;17,9;i.O.
d-001;24.11.2026;06:41;H2S;24,5;n.i.O.
"""
MAP = """\
records:
  - files: rounds.*
    columns: {unit: Gerät, time: [Datum, Uhrzeit], sensor: Sensor, as-found: Anzeige, result: Ergebnis}
    constants: {kind: bump-test, by: KD}
    values: {sensor: {O2: o2, H2S: h2s}, result: {i.O.: pass, n.i.O.: fail}}
    time-format: "%d.%m.%Y %H:%M"
    zone: America/Denver
    decimal: comma
"""


def with_map(changed, data, *, name="rounds.csv", extra="", mapped=MAP):
    """The site with this one file of records and a map for it."""
    folder = changed()
    for path in (*(folder / "records").iterdir(), *(folder / "readback").iterdir()):
        path.unlink()
    (folder / "maps.yaml").write_text(mapped + extra, encoding="utf-8")
    if isinstance(data, bytes):
        (folder / "records" / name).write_bytes(data)
    elif data:
        data.save(folder / "records" / name)
    return folder


def readings(program):
    return [
        (str(one.where), one.time.value, one.kind.value, one.sensor.value, one.as_found.value, one.result.value)
        for one in program.records
    ]


def expected(file, first):
    """The two rows of the export, worked out by hand: America/Denver is seven hours behind UTC in November."""
    hour = datetime(2026, 11, 24, 13, 40, tzinfo=UTC)
    return [
        (f"{file}:{first}", hour, "bump-test", "o2", Fraction(179, 10), "pass"),
        (f"{file}:{first + 1}", hour.replace(minute=41), "bump-test", "h2s", Fraction(49, 2), "fail"),
    ]


@pytest.mark.parametrize(
    ("codec", "said", "tabs"),
    [
        ("cp1252", "    encoding: windows-1252\n", False),
        ("cp1252", "    encoding: windows-1252\n    separator: semicolon\n    heads: 4\n", False),
        ("utf-8", "", False),
        ("utf-8-sig", "", False),
        ("utf-16", "    encoding: utf-16\n", False),
        ("utf-16-le", "    encoding: utf-16-le\n", False),
        ("utf-16", "    encoding: utf-16\n    separator: tab\n", True),
    ],
)
def test_titles_encodings_joined_times_and_constants_are_read_as_the_map_says(codec, said, tabs, changed, program_of):
    data = (SEMICOLONS.replace(";", "\t") if tabs else SEMICOLONS).encode(codec)
    program = program_of(with_map(changed, data, extra=said))
    assert readings(program) == expected("records/rounds.csv", 5)
    assert {one.by.value for one in program.records} == {"kd"}  # a constant is matched as a cell is


def test_a_file_ending_in_tsv_is_parted_by_tabs(changed, program_of):
    data = SEMICOLONS.replace(";", "\t").encode()
    assert readings(program_of(with_map(changed, data, name="rounds.tsv"))) == expected("records/rounds.tsv", 5)


@pytest.mark.parametrize(
    ("data", "said", "fault"),
    [
        (SEMICOLONS.encode("cp1252"), "", "records/rounds.csv:1: a byte that is not UTF-8 (0xfc)"),
        (SEMICOLONS.encode("utf-16"), "", "records/rounds.csv:1: text saved as UTF-16"),
        (SEMICOLONS.encode(), "    encoding: utf-16\n", "records/rounds.csv:1: no text saved as UTF-16"),
        (SEMICOLONS.encode("utf-16"), "    encoding: windows-1252\n", "records/rounds.csv:1: text saved as UTF-16"),
        (SEMICOLONS.encode("utf-16-le"), "    encoding: utf-16\n", "records/rounds.csv:1: text saved as UTF-16"),
        (SEMICOLONS.encode(), "    encoding: windows-1252\n", "records/rounds.csv:1: text saved as UTF-8, where"),
        (b"\x81\n" + SEMICOLONS.encode("cp1252"), "    encoding: windows-1252\n", "records/rounds.csv:1: a byte that"),
        (SEMICOLONS.replace(";", "\t").encode(), "", "records/rounds.csv:4: cells parted by tabs"),
        (SEMICOLONS.encode(), "    heads: 3\n", "records/rounds.csv:3: no column heads"),
        (SEMICOLONS.encode(), "    heads: 99\n", "records/rounds.csv:99: no column heads"),
        (SEMICOLONS.replace("Uhrzeit", "Zeit").encode(), "", "records/rounds.csv:4: column 'Zeit' means nothing here"),
        (SEMICOLONS.replace("06:41", "").encode(), "", "records/rounds.csv:6: '24.11.2026' for 'time'"),
        (SEMICOLONS.replace("17,9", "1.790").encode(), "", "records/rounds.csv:5: as-found: '1.790', where maps.yaml"),
        (SEMICOLONS.replace("17,9", "1.790,5").encode(), "", "records/rounds.csv:5: as-found: '1.790,5'"),
        (
            SEMICOLONS.replace("17,9", "17,9 Vol").encode(),
            "",
            "records/rounds.csv:5: as-found: '17,9 Vol'; allowed: a number with a comma",
        ),
        (SEMICOLONS.replace("H2S", "H2S neu").encode(), "", "records/rounds.csv:6: unknown sensor 'H2S neu'"),
    ],
)
def test_nothing_is_guessed(data, said, fault, changed, told):
    first = told(with_map(changed, data, extra=said))[0]
    assert first.startswith(fault)
    assert "; allowed: " in first


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("kind: bump-test", "kind: bump", "maps.yaml:4: 'bump' for 'kind'; allowed: one of bump-test,"),
        ("kind: bump-test", "kin: bump-test", "maps.yaml:4: unknown field 'kin'"),
        ("kind: bump-test", "unit: d-001", "maps.yaml:4: a column and a constant for 'unit'"),
        ("unit: Gerät", "unit: [Gerät, Nr]", "maps.yaml:3: no column head for 'unit'"),
        ("[Datum, Uhrzeit]", "[Datum, Datum]", "maps.yaml:3: head 'Datum' for both time and time"),
        ("decimal: comma", "encoding: latin", "maps.yaml:8: 'latin' for 'encoding'; allowed: one of utf-8,"),
        ("decimal: comma", "heads: 0", "maps.yaml:8: '0' for 'heads'; allowed: a whole number of at least 1"),
        ("decimal: comma", "heads: 1001", "maps.yaml:8: heads in row 1001"),
        ("decimal: comma", "sheet: []", "maps.yaml:8: an empty list for 'sheet'"),
        ("decimal: comma", "sheet: May", "records/rounds.csv:1: no workbook, and so no sheet 'May'"),
    ],
)
def test_a_map_that_cannot_be_followed_is_refused(old, new, fault, changed, told):
    assert MAP.count(old) == 1
    assert told(with_map(changed, SEMICOLONS.encode(), mapped=MAP.replace(old, new)))[0].startswith(fault)


def test_a_map_that_is_for_no_file_is_kept_in_mind_and_told_where_heads_mean_nothing(changed, program_of, told):
    """A map with two names is in use where a file has one of them."""
    folder = with_map(
        changed, SEMICOLONS.partition("\n\n")[2].encode(), mapped=MAP.replace("rounds.*", "[round.*, other.csv]")
    )
    allowed = "allowed: a map in maps.yaml for a file of this name (there are maps for round.*, other.csv)"
    assert any(f"column 'Gerät' means nothing here; {allowed}" in fault for fault in told(folder))
    (folder / "records/rounds.csv").unlink()
    idle = program_of(folder).idle_maps
    assert [(given.value, str(given.where)) for given in idle] == [("records/round.* or other.csv", "maps.yaml:2")]
    (folder / "records/other.csv").write_text(SEMICOLONS, encoding="utf-8")
    assert program_of(folder).idle_maps == ()


# ---- workbooks -------------------------------------------------------------------

SHEETS = """\
records:
  - files: bench.xlsx
    sheet: [May, June]
    columns: {unit: Detector, time: [Day, Hour], sensor: Cell, as-found: Shown, result: Verdict}
    constants: {kind: bump-test}
    zone: America/Denver
  - files: bench.xlsx
    sheet: Looked at
    columns: {unit: Detector, time: When}
    constants: {kind: inspection, result: pass}
    zone: America/Denver
"""
HEADS = ["Detector", "Day", "Hour", "Cell", "Shown", "Verdict"]


def workbook(*, below=False):
    """Three sheets with merged titles, days and hours as a spreadsheet keeps them, and one sheet of notes."""
    book = Workbook()
    for name, day in (("May", date(2026, 5, 4)), ("June", date(2026, 6, 8))):
        sheet = book.create_sheet(name)
        sheet.append([f"Bench tests of {name}"])
        sheet.append([None, "=TODAY()"])
        sheet.merge_cells("A1:F1")
        for row in (HEADS, ["d-001", day, time(6, 40), "o2", 17.9, "pass"]):
            sheet.append(row)
        if below:
            sheet.merge_cells("A4:B4")
    looked = book.create_sheet("Looked at")
    for row in (["Detector", "When"], ["d-001", datetime.fromisoformat("2026-07-01T08:00")]):
        looked.append(row)
    book.remove(book["Sheet"])
    book.create_sheet("Notes").append(["whatever"])
    return book


def test_every_sheet_that_is_named_is_read_and_told_apart(changed, program_of):
    program = program_of(with_map(changed, workbook(), name="bench.xlsx", mapped=SHEETS))
    # Denver is six hours behind UTC in summer
    assert [(str(one.where), one.time.value, one.kind.value) for one in program.records] == [
        ("records/bench.xlsx#May:4", datetime(2026, 5, 4, 12, 40, tzinfo=UTC), "bump-test"),
        ("records/bench.xlsx#June:4", datetime(2026, 6, 8, 12, 40, tzinfo=UTC), "bump-test"),
        ("records/bench.xlsx#Looked at:2", datetime(2026, 7, 1, 14, 0, tzinfo=UTC), "inspection"),
    ]


def test_a_sheet_of_the_same_form_that_no_map_names_is_kept_in_mind(changed, program_of):
    """Neither the notes of the workbook are one, nor a sheet that has the heads and no row yet."""
    book = workbook()
    for name, rows in {
        "July": [HEADS, ["d-001", "2026-07-24", "06:40", "o2", 17.9, "pass"]],
        "August": [HEADS],
    }.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    program = program_of(with_map(changed, book, name="bench.xlsx", mapped=SHEETS))
    assert [(one.value, str(one.where)) for one in program.unread_sheets] == [
        ("records/bench.xlsx#July", "maps.yaml:2")
    ]


def test_merged_cells_from_the_heads_on_are_still_refused(changed, told):
    assert told(with_map(changed, workbook(below=True), name="bench.xlsx", mapped=SHEETS)) == [
        f"records/bench.xlsx#{name}:4: merged cells A4:B4; allowed: {UNMERGED}" for name in ("June", "May")
    ]


def test_one_of_several_sheets_is_not_picked(changed, told):
    first = told(with_map(changed, workbook(), name="bench.xlsx", mapped=SHEETS.replace("bench", "other")))[0]
    assert first == (
        "records/bench.xlsx:1: a workbook with the sheets May, June, Looked at, Notes, and no word which; "
        "allowed: sheet: in maps.yaml, a name or a list of names"
    )


def test_a_sheet_has_one_map(changed, told):
    mapped = SHEETS.replace("sheet: Looked at", "sheet: May")
    assert told(with_map(changed, workbook(), name="bench.xlsx", mapped=mapped))[0] == (
        "maps.yaml:7: a second map for records/bench.xlsx (first at maps.yaml:2); "
        "allowed: one map a file, or one a sheet"
    )


TWO_KINDS = """\
  - id: ir
    name: Infrared
    principle: infrared
    channel: flammable
    shows: methane
    calibrated-with: methane
    life: 60 months
"""


def fleet(changed, data):
    """The site with a second kind of flammable sensor in the second model, and these records."""
    position = "      - {position: 1, sensor: pid, full-scale: 2000 ppm, resolution: 0.1 ppm, t90: 5 s}\n"
    infrared = "      - {position: 2, sensor: ir, full-scale: 100 %LEL, resolution: 1 %LEL, t90: 15 s}\n"
    folder = changed(
        ("sensors.yaml", "  - id: o2\n", f"{TWO_KINDS}  - id: o2\n"), ("models.yaml", position, position + infrared)
    )
    for path in (*(folder / "records").iterdir(), *(folder / "readback").iterdir()):
        path.unlink()
    (folder / "maps.yaml").unlink()
    (folder / "records/all.csv").write_text(data, encoding="utf-8")
    return folder


def test_a_channel_is_the_one_sensor_of_it_that_the_model_has(changed, program_of, told):
    """d-001 has the catalytic sensor and d-002 the infrared one; no model of the two sees carbon monoxide."""
    row = "{unit},2026-11-24T05:40-07:00,calibration,{channel},50,49\n"
    data = "unit,time,kind,sensor,as-found,as-left\n" + row.format(unit="d-001", channel="flammable")
    folder = fleet(changed, data + row.format(unit="d-002", channel="flammable"))
    assert [(one.unit.value, one.sensor.value) for one in program_of(folder).records] == [
        ("d-001", "cat"),
        ("d-002", "ir"),
    ]
    wide = "unit,time,kind,flammable.as-found\nd-002,2026-11-24T05:40-07:00,calibration,50\n"
    (folder / "records/all.csv").write_text(wide, encoding="utf-8")
    assert [one.sensor.value for one in program_of(folder).records] == ["ir"]
    (folder / "readback/all.csv").write_text("unit,read-on,sensor,name,value\nd-002,2026-11-24,flammable,low,5 %LEL\n")
    assert [one.sensor.value for one in program_of(folder).settings] == ["ir"]
    (folder / "records/all.csv").write_text(data.replace("flammable", "hydrogen-sulfide").replace("d-001", "d-002"))
    assert told(folder)[0].startswith("records/all.csv:2: unknown sensor 'hydrogen-sulfide'; allowed: a sensor of")
