"""`handbook import` of messy lists, all invented: what it takes each column for, what it asks, and how they are read.

Expected maps and values are worked out by hand from the lists below; the words in German, Spanish and Polish are common
words of logs, from memory, no source.
"""

from __future__ import annotations

import errno
import re
import shutil
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

import pytest
from openpyxl import Workbook

from builder.base.errors import ContentError
from builder.cli import run
from builder.figures.compute import compute
from builder.load.content import load_content
from builder.program.read import read_program
from builder.program.trade_words import is_head_of, meaning_of
from builder.reference.library import library

SITE = Path(__file__).parents[1] / "program" / "site"
GERMAN = """\
Prüfprotokoll Außenstelle;;;;;;;;
Ausdruck vom 25.11.2026;;;;;;;;

Gerät;Datum;Uhrzeit;Prüfart;Sensor;Anzeige vorher;Ergebnis;Kürzel;Farbe
d-001;24.11.2026;06:40;Funktionstest;O2;17,9;i.O.;KD;rot
d-001;24.11.2026;06:41;Funktionstest;H2S;24,5;n.i.O.;KD;rot
d-002;24.11.2026;06:45;Sichtprüfung;;;i.O.;KD;blau
"""
MOVES = "Detector\tIssued\tReturned\tStatus\tGiven to\nd-001\t{day}/04/2026 06:00\t{day}/04/2026 18:00\tIn use\tKD\n"


@pytest.fixture
def content(tmp_path):
    folder = tmp_path / "content"
    shutil.copytree(SITE, folder)
    for path in (*(folder / "records").iterdir(), *(folder / "readback").iterdir()):
        path.unlink()
    return folder


@pytest.fixture
def imported(content, tmp_path, capsys):
    """Status and what was said of a file."""

    def call(name, data, *arguments):
        path = tmp_path / name
        if isinstance(data, Workbook):
            data.save(path)
        else:
            path.write_bytes(data)
        status = run(["import", str(path), "--content", str(content), *arguments])
        told = capsys.readouterr()
        return status, told.out, told.err

    return call


def program_of(content):
    return read_program(*load_content(content), library())


def units():
    """A workbook with a merged title, a sheet of notes, asset numbers as a site writes them, a column of its own."""
    book = Workbook()
    sheet = book.active
    sheet.title = "Units"
    sheet.append(["Gas detectors of the mill"])
    sheet.merge_cells("A1:F1")
    sheet.append([])
    sheet.append(["Asset no.", "Type", "Serial no.", "Status", "Where used", "Last bump", "Shelf"])
    sheet.append(["GD 014/2", "three-pumped", 12345, "In service", "pit", date(2026, 11, 20), "3"])
    sheet.append(["GD 015", "vapour only", 12346, "Reserve", None, date(2026, 11, 21), "4"])
    book.create_sheet("Notes").append(["whatever"])
    return book


# ---- understood --------------------------------------------------------------------


def test_a_messy_list_is_understood_and_read_as_it_is_from_then_on(imported, content):
    before = (content / "maps.yaml").read_text(encoding="utf-8")
    status, out, _ = imported("pruefung-2026-11.csv", GERMAN.encode("cp1252"), "--as", "records", "--write")
    assert status == 0
    assert "heads in row 4" in out
    assert "not understood" not in out
    added = (content / "maps.yaml").read_text(encoding="utf-8")
    for line in before.splitlines():
        assert line in added
    assert '  - files: "pruefung-*.csv"\n' in added
    assert (content / "records/pruefung-2026-11.csv").read_bytes() == GERMAN.encode("cp1252")
    found = [
        (
            one.unit.value,
            one.time.value,
            one.kind.value,
            one.sensor and one.sensor.value,
            one.result.value,
            one.by.value,
        )
        for one in program_of(content).records
    ]
    hour = datetime(2026, 11, 24, 13, 40, tzinfo=UTC)  # the site's calendar has America/Denver, seven hours behind
    assert found == [
        ("d-001", hour, "bump-test", "o2", "pass", "kd"),
        ("d-001", hour.replace(minute=41), "bump-test", "h2s", "fail", "kd"),
        ("d-002", hour.replace(minute=45), "inspection", None, "pass", "kd"),
    ]
    assert [one.as_found.value for one in program_of(content).records[:2]] == [Fraction(179, 10), Fraction(49, 2)]


def test_next_months_file_needs_no_word(imported, content):
    imported("pruefung-2026-11.csv", GERMAN.encode("cp1252"), "--as", "records", "--write")
    text = GERMAN.replace("24.11.2026", "15.12.2026").replace("Außenstelle", "Außenstelle;\nzweite Zeile")
    (content / "records/pruefung-2026-12.csv").write_bytes(text.encode("cp1252"))
    assert {one.time.value.month for one in program_of(content).records} == {11, 12}


@pytest.mark.parametrize("ending", ["csv", "tsv", "txt"])
def test_a_list_parted_by_tabs_is_told_by_its_rows(ending, imported, content):
    inventory = content / "inventory.yaml"
    text = inventory.read_text(encoding="utf-8")
    inventory.write_text(text.replace("    state: in-use\n    area: pit\n", "    area: pit\n"), encoding="utf-8")
    data = MOVES.format(day="25").encode("utf-16")
    status, out, _ = imported(f"moves.{ending}", data, "--as", "movements", "--write")
    assert status == 0
    assert "encoding: utf-16\n" in out
    [row] = program_of(content).movements
    assert row.where.file == f"movements/moves.{ending.replace('txt', 'csv')}"
    # Denver is six hours behind UTC in April
    assert (row.start.value, row.state.value, row.holder.value) == (
        datetime(2026, 4, 25, 12, 0, tzinfo=UTC), "in-use", "kd",
    )  # fmt: skip


def test_an_inventory_in_a_workbook_is_read_with_ids_made_of_asset_numbers(imported, content):
    (content / "inventory.yaml").unlink()
    options = ("--as", "inventory", "--sheet", "Units", "--ignore", "Shelf")
    status, out, _ = imported("list.xlsx", units(), *options, "--write")
    assert status == 0
    assert "heads in row 3" in out
    lines = (content / "maps.yaml").read_text(encoding="utf-8").split("inventory:\n")[1].splitlines()
    assert lines == [
        "  sheet: Units",
        "  columns:",
        '    id: "Asset no."',
        "    model: Type",
        '    serial: "Serial no."',
        "    state: Status",
        "    area: Where used",
        "    last.bump: Last bump",
        "  values:",
        "    state: {In service: in-use, Reserve: spare}",
        "    model: {vapour only: vapour-only}",
        "  ids: made",
        "  ignore: [Shelf]",
    ]


def test_settings_that_were_read_back(imported, content):
    data = b"Detector,Date,Channel,Parameter,Set to\nd-001,24.11.2026,H2S,Alarm 1,5 ppm\n"
    status, out, _ = imported("settings.csv", data, "--as", "readback", "--write")
    assert (status, "name: {Alarm 1: low}" in out) == (0, True)
    [one] = program_of(content).settings
    assert (one.unit.value, one.sensor.value, one.name.value, one.value.value) == ("d-001", "h2s", "low", "5 ppm")


# ---- asked -------------------------------------------------------------------------

PLAIN = "unit,time,kind,sensor,as-found,result\nd-001,2026-11-24T05:40-07:00,bump-test,o2,17.9,pass\n"


@pytest.mark.parametrize(
    ("data", "kind", "asked"),
    [
        (MOVES.format(day="03").encode(), "movements", "--time-format '%d/%m/%Y %H:%M' or '%m/%d/%Y %H:%M'"),
        (PLAIN.replace("result", "Zuordnung").encode(), "records", "'Zuordnung' (pass); perhaps result"),
        (PLAIN.replace("as-found", "Menge").encode(), "records", "perhaps as-found or as-left or seconds"),
        (PLAIN.replace("kind", "Sorte").encode(), "records", "no column for kind, which every row needs"),
        (PLAIN.replace("bump-test", "Rundgang").encode(), "records", "what 'Rundgang' in 'kind' stands for"),
        (PLAIN.replace(",pass", ",so-so").encode(), "records", "what 'so-so' in 'result' stands for"),
        (PLAIN.replace(",o2,", ",Loch,").encode(), "records", "what 'Loch' in 'sensor' stands for"),
        (PLAIN.replace("2026-11-24T05:40-07:00", "at noon").encode(), "records", "have no one form of a time"),
        (PLAIN.replace("17.9", "low").encode(), "records", "as-found: 'low' is no number"),
        (b"unit,Date,kind\nd-001,2026-04-03,use\nd-001,25/04/2026,use\n", "records", "days and months may be swapped"),
        (GERMAN.replace("24,5", "24.5").encode(), "records", "numbers with a comma and numbers with a point"),
        (GERMAN.replace("Farbe", "Sensor").encode(), "records", "head 'Sensor' stands twice"),
        (GERMAN.replace("Außenstelle", "Łódź ąęść").encode("cp1250"), "records", "encoding: windows-1252, or another"),
        (b"1,2\n3,4\n", "records", "no column for unit"),
        (
            PLAIN.replace("as-found", "H2S (ppm)").encode(),
            "records",
            "'H2S (ppm)' is of one gas and 'sensor' of all",
        ),
        (b"", "records", "no column for unit"),
    ],
)
def test_whatever_is_not_plain_is_asked_and_stands_in_a_comment(data, kind, asked, imported):
    status, out, _ = imported("list.csv", data, "--as", kind)
    told, _, text = out.partition("for maps.yaml:\n")
    assert status == 1
    assert asked in told
    assert any(line.strip().startswith("# unsure: ") and asked in line for line in text.splitlines())


@pytest.mark.parametrize(
    ("head", "asked"),
    [
        ("H2S as found (mg/m3)", "perhaps h2s.as-found, but h2s shows ppm"),
        ("H2S as found mg/m³", "but h2s shows ppm"),
        ("H2S as found ppb", "but h2s shows ppm"),
        ("Ex as found (%vol)", "perhaps cat.as-found, but cat shows %LEL"),
        ("LEL as found Vol.-%", "but cat shows %LEL"),
        ("Ex as found (%)", "but cat shows %LEL"),
        ("O2 as found ppm", "but o2 shows %vol"),
        ("H2S as found (after)", "but what does (after) say"),
        ("Response time (min)", "perhaps seconds, but what does (min) say"),
        ("Result (as left)", "perhaps result, but what does (as left) say"),
        ("Test time (UTC)", "but what does (UTC) say"),
    ],
)
def test_a_head_in_another_unit_or_with_a_remark_is_asked_and_stands_in_no_map(head, asked, imported):
    """5 %vol is 100 %LEL of methane, 5 mg/m³ of hydrogen sulfide not 5 ppm: such a number is never taken as it is."""
    data = f"unit,Date,kind,{head}\nd-001,2026-11-24,bump-test,5\n".encode()
    status, out, _ = imported("list.csv", data, "--as", "records")
    told, _, text = out.partition("for maps.yaml:\n")
    assert status == 1
    assert asked in told
    assert [line.strip()[:9] for line in text.splitlines() if head in line] == ["# unsure:"], "no column of the map"


def test_units_and_forms_that_say_nothing_new_are_no_question(imported):
    heads = "unit,Date (dd.mm.yyyy),kind,H2S as found [ppm],O2 as found (%),Ex as found % UEG,Remark (any)"
    data = f"{heads}\nd-001,24.11.2026,bump-test,24,17.9,49,none\n".encode()
    status, out, _ = imported("list.csv", data, "--as", "records")
    assert (status, "not understood, " in out) == (0, False)


def test_a_unit_over_readings_of_all_sensors_has_to_be_that_of_each(imported):
    row = "d-001,2026-11-24T05:40-07:00,bump-test,{sensor},17"
    data = "\n".join(["unit,time,kind,sensor,As found (ppm)", row.format(sensor="h2s"), row.format(sensor="O2")])
    status, out, _ = imported("list.csv", data.encode(), "--as", "records")
    assert (status, "perhaps as-found, but o2 shows %vol" in " ".join(out.split())) == (1, True)
    assert "as-found: " not in out
    assert imported("a.csv", data.replace("(ppm)", "(ppm / %)").encode(), "--as", "records")[0] == 0
    assert imported("a.csv", data.replace(",O2,", ",h2s,").encode(), "--as", "records")[0] == 0
    assert imported("a.csv", data.encode(), "--as", "records", "--set", "as-found=As found (ppm)")[0] == 0


@pytest.mark.parametrize(
    "head", ["Calibration due", "Next bump test", "Last calibration (next)", "Letzte Justierung fällig"]
)
def test_a_day_to_come_is_no_last_check_and_not_offered_as_one(head, imported, content):
    """A day that has gone by since, as that of a unit that is overdue, would read as a check that was done."""
    (content / "inventory.yaml").unlink()
    data = f"id,model,serial,{head}\nd-1,vapour-only,7,2026-09-01\n".encode()
    status, out, _ = imported("list.csv", data, "--as", "inventory")
    assert status == 1
    assert f"column {head!r} (2026-09-01) seems to say when something falls due" in out
    assert "last." not in out


def test_a_gas_that_several_sensors_see_is_left_to_the_model_of_each_unit(imported, content):
    """Where the head names a unit, it is held against that of all of them."""
    sensors = (content / "sensors.yaml").read_text(encoding="utf-8")
    second = sensors.partition("  - id: o2\n")[0].partition("sensors:\n")[2].replace("id: cat", "id: other")
    (content / "sensors.yaml").write_text(sensors + second, encoding="utf-8")
    models = (content / "models.yaml").read_text(encoding="utf-8")
    first = "      - {position: 1, sensor: pid,"
    added = "      - {position: 2, sensor: other, full-scale: 100 %LEL, resolution: 1 %LEL, t90: 9 s}\n"
    (content / "models.yaml").write_text(models.replace(first, added + first), encoding="utf-8")
    status, out, _ = imported("a.csv", PLAIN.replace(",o2,17.9,", ",Ex,49,").encode(), "--as", "records")
    assert (status, "sensor: {Ex: flammable}" in out) == (0, True)
    wide = "unit,time,kind,Ex {}\nd-002,2026-11-24T05:40-07:00,bump-test,49\n"
    assert imported("b.csv", wide.format("%vol").encode(), "--as", "records")[0] == 1
    assert imported("b.csv", wide.format("% LEL").encode(), "--as", "records", "--write")[0] == 0
    assert [one.sensor.value for one in program_of(content).records] == ["other"]


@pytest.mark.parametrize(("text", "answer"), [("1,200", "comma"), ("1.200", "point")])
def test_a_mark_that_may_part_thousands_is_asked_and_no_reading_is_taken_before(text, answer, imported, content):
    data = f"unit;time;kind;sensor;as-found\nd-001;2026-11-24T05:40-07:00;bump-test;h2s;{text}\n".encode()
    status, out, _ = imported("list.csv", data, "--as", "records")
    assert (status, f"decimal: {text!r} may be thousands" in out) == (1, True)
    assert "as-found: " not in out
    assert imported("list.csv", data, "--as", "records", "--decimal", answer, "--write")[0] == 0
    assert [one.as_found.value for one in program_of(content).records] == [Fraction(6, 5)]


@pytest.mark.parametrize(
    ("days", "form"),
    [
        (("04-Nov-26", "05-Nov-26"), ""),  # as spreadsheets save days in English
        (("26-11-04", "26-11-05"), "%y-%m-%d"),  # or the 26th of November 2004
        (("20261104", "20261105"), "%Y%m%d"),
    ],
)
def test_a_form_that_is_not_plain_can_be_answered(days, form, imported, content):
    data = "\n".join(["unit,Date,kind", *(f"d-001,{day},use" for day in days)]).encode()
    assert imported("l.csv", data, "--as", "records")[0] == bool(form)
    assert imported("l.csv", data, "--as", "records", "--time-format", form, "--write")[0] == 0
    assert [one.time.value.date() for one in program_of(content).records] == [date(2026, 11, 4), date(2026, 11, 5)]


def test_what_stands_apart_is_named(imported):
    rows = [f"d-001,{day},use" for day in ("03/04/2026", "05/13/2026", "13/05/2026")]
    _, out, _ = imported("l.csv", "\n".join(["unit,Date,kind", *rows]).encode(), "--as", "records")
    assert "time in Date: '13/05/2026' and those before it have no one form" in out
    data = b"id,model,serial,last.bump,last.calibration\nd-1,vapour-only,7,24.11.2026,24/11/2026\n"
    _, out, _ = imported("l.csv", data, "--as", "inventory")
    assert "time-format: days have to be written alike in last.bump, last.calibration" in out


@pytest.mark.parametrize("word", ["Passed?", "!OK", "~ok", "(OK)"])
def test_a_word_with_a_mark_that_may_change_its_meaning_is_asked(word, imported):
    status, out, _ = imported("l.csv", PLAIN.replace(",pass", f",{word}").encode(), "--as", "records")
    assert (status, f"what '{word}' in 'result' stands for" in out) == (1, True)


def test_days_that_can_be_read_two_ways_are_answered_in_one_of_them(imported, content):
    data = b"unit,Date (local),kind\nd-001,03/04/2026,use\n"
    assert imported("l.csv", data, "--as", "records")[0] == 1
    assert imported("l.csv", data, "--as", "records", "--time-format", "%Y/%m/%d")[0] == 1, "in none of the two"
    assert imported("l.csv", data, "--as", "records", "--time-format", "%m/%d/%Y", "--write")[0] == 0
    [one] = program_of(content).records
    assert one.time.value.date() == date(2026, 3, 4)


def test_a_mark_is_answered_where_numbers_have_both(imported):
    """A version is written with a point beside alarms with a comma."""
    data = b"unit;read-on;sensor;name;value\nd-001;2026-11-24;o2;low;19,7 %vol\nd-001;2026-11-24;;firmware;1.0\n"
    assert imported("set.csv", data, "--as", "readback")[0] == 1
    status, out, _ = imported("set.csv", data, "--as", "readback", "--decimal", "comma")
    assert (status, "    decimal: comma\n" in out) == (0, True)


@pytest.mark.parametrize("day", ["2026-11-24", "24.11.2026", date(2026, 11, 24)])
def test_days_without_an_hour_are_read_as_they_were_proposed(day, imported, content):
    """A map without a question has to read its own table: days of ISO 8601 need a form too, being no times."""
    rows = [["unit", "Date", "kind", "result"], ["d-001", day, "inspection", "pass"]]
    data = Workbook()
    for row in rows:
        data.active.append(row)
    name = "list.xlsx"
    if isinstance(day, str):
        name, data = "list.csv", "\n".join(",".join(row) for row in rows).encode()
    status, out, _ = imported(name, data, "--as", "records", "--zone", "America/Denver", "--write")
    assert status == 0, out
    midnight = datetime(2026, 11, 24, 7, 0, tzinfo=UTC)  # America/Denver is seven hours behind UTC in November
    assert [one.time.value for one in program_of(content).records] == [midnight]


def test_a_word_with_a_remark_is_another_word(imported):
    data = PLAIN.replace(",o2,", ",O2 (2),").replace(",pass", ",OK (failed first)").encode()
    status, out, _ = imported("list.csv", data, "--as", "records")
    assert status == 1
    assert "what 'O2 (2)' in 'sensor' stands for" in " ".join(out.split())
    assert "what 'OK (failed first)' in 'result' stands for" in " ".join(out.split())


def test_one_of_several_sheets_is_not_picked_in_silence(imported):
    status, out, _ = imported("list.xlsx", units(), "--as", "inventory", "--ignore", "Shelf")
    assert status == 1
    assert "# unsure: sheet: which of Units, Notes?" in out


def test_of_several_sheets_the_one_with_known_heads_is_shown_and_still_asked(imported):
    book = units()
    cover = book.create_sheet("Deckblatt", 0)
    cover["A1"] = "Bestandsliste"
    status, out, _ = imported("list.xlsx", book, "--as", "inventory", "--ignore", "Shelf")
    assert status == 1
    assert "which of Deckblatt, Units, Notes? 'Units' is shown" in out
    assert "  sheet: Units\n" in out


def test_a_signature_in_one_cell_is_passed_over_where_the_map_names_it(imported, content):
    data = f"{GERMAN}Ende der Liste - Müller\n".encode("cp1252")
    status, out, _ = imported("p.csv", data, "--as", "records", "--zone", "Europe/Berlin", "--write")
    assert (status, "# unsure" in out) == (0, False)
    assert len(program_of(content).records) == GERMAN.count("d-00")


def test_without_a_zone_the_zone_is_asked(imported, content):
    (content / "calendar.yaml").unlink()
    status, out, _ = imported("list.csv", GERMAN.encode(), "--as", "records")
    assert (status, "# unsure: zone: " in out) == (1, True)


def test_a_thing_is_known_by_its_name_too(imported, content):
    models = content / "models.yaml"
    name = re.search(r"id: three-pumped\n    name: (.*)", models.read_text(encoding="utf-8"))[1]
    status, out, _ = imported("l.csv", f'id,model,serial\nd-1,"{name.upper()}!",7\n'.encode(), "--as", "inventory")
    assert (status, f'model: {{"{name.upper()}!": three-pumped}}' in out) == (0, True)


def test_a_time_of_two_columns_is_answered_in_the_order_in_which_its_parts_are_read(imported, content):
    data = b"unit,Hr,Dy,kind\nd-001,06:40,24.11.2026,use\n"
    options = ("--set", "time=Dy", "--set", "time=Hr", "--zone", "America/Denver", "--write")
    status, out, _ = imported("list.csv", data, "--as", "records", *options)
    assert (status, "      time: [Dy, Hr]\n" in out) == (0, True)
    assert [one.time.value for one in program_of(content).records] == [datetime(2026, 11, 24, 13, 40, tzinfo=UTC)]


def test_without_a_site_its_words_are_told_as_not_known(imported, content):
    shutil.rmtree(content)
    assert (
        "so it is not known what the site calls its things" in imported("l.csv", PLAIN.encode(), "--as", "records")[2]
    )


def test_answers_go_before_what_is_seen(imported):
    data = PLAIN.replace("kind", "Sorte").replace("as-found", "Menge").encode()
    options = ("--set", "as-found=Menge", "--constant", "kind=bump-test", "--ignore", "Sorte")
    status, out, _ = imported("list.csv", data, "--as", "records", *options)
    assert status == 0
    assert "      as-found: Menge\n" in out
    assert "    constants: {kind: bump-test}\n" in out
    assert "    ignore: [Sorte]\n" in out


# ---- refused -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (("--set", "as-found=Nix"), "no column 'Nix' in the file; its heads: unit, time,"),
        (("--set", "amount=kind"), "no field 'amount' of records; allowed: unit, time,"),
        (("--constant", "kin=use"), "no field 'kin' of records"),
        (("--ignore", "Nix"), "no column 'Nix' in the file"),
        (("--encoding", "latin"), "--encoding 'latin'; allowed: utf-8,"),
        (("--set", "kind"), "'kind'; allowed: FIELD=HEAD"),
        (("--set", "as-found=time", "--set", "as-left=time"), "'time' twice; allowed: each once"),
        (("--constant", "kind=use", "--constant", "kind=zero"), "'kind' twice; allowed: each once"),
    ],
)
def test_answers_that_cannot_be_are_refused(options, told, imported):
    status, _, err = imported("list.csv", PLAIN.encode(), "--as", "records", *options)
    assert (status, told in err) == (2, True)


def test_a_map_that_stands_is_not_written_over(imported, content):
    options = ("--as", "records", "--write")
    assert imported("list-1.csv", PLAIN.encode(), *options)[0] == 0
    before = (content / "maps.yaml").read_bytes()
    status, _, err = imported("list-1.csv", PLAIN.encode(), *options)
    assert (status, "is a map for records/list-1.csv already" in err) == (2, True)
    assert (content / "maps.yaml").read_bytes() == before


def test_a_file_that_stands_is_not_written_over(imported, content):
    (content / "records/list.csv").write_text("other", encoding="utf-8")
    status, _, err = imported("list.csv", PLAIN.encode(), "--as", "records", "--write")
    assert (status, "list.csv stands there and differs" in err) == (2, True)
    assert (content / "records/list.csv").read_text(encoding="utf-8") == "other"
    assert "list" not in (content / "maps.yaml").read_text(encoding="utf-8")


def test_what_cannot_be_written_whole_leaves_all_as_it_was(imported, content, monkeypatch):
    """As on a full disk: the maps of before are not lost, and no table stands there without its map."""
    before = {path: path.read_bytes() for path in content.rglob("*") if path.is_file()}
    write = Path.write_bytes

    def full(path, data):
        if "maps.yaml" in path.name:
            write(path, data[:10])
            raise OSError(errno.ENOSPC, "No space left on device")
        return write(path, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    status, _, err = imported("list.csv", PLAIN.encode(), "--as", "records", "--write")
    assert (status, "No space left on device" in err) == (1, True)
    assert {path: path.read_bytes() for path in content.rglob("*") if path.is_file()} == before


def test_a_second_inventory_is_refused(imported):
    options = ("--as", "inventory", "--sheet", "Units", "--ignore", "Shelf")
    status, _, err = imported("list.xlsx", units(), *options, "--write")
    assert (status, "inventory.yaml is the site's inventory" in err) == (2, True)


def test_without_write_nothing_is_changed(imported, content):
    before = {path: path.read_bytes() for path in content.rglob("*") if path.is_file()}
    imported("list.csv", GERMAN.encode(), "--as", "records")
    assert {path: path.read_bytes() for path in content.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("style", ["records: []\n", "records:\n- files: other.csv\nreadback:\n- files: set.csv\n"])
def test_a_file_of_maps_in_another_style(style, imported, content):
    """A list at the margin is added to in its own style; one in a line is left alone."""
    (content / "maps.yaml").write_text(style, encoding="utf-8")
    status, _, err = imported("list.csv", PLAIN.encode(), "--as", "records", "--write")
    text = (content / "maps.yaml").read_text(encoding="utf-8")
    if "[]" in style:
        assert (status, "written in one line" in err, text) == (2, True, style)
    else:
        assert status == 0
        assert text.startswith('records:\n- files: other.csv\n- files: "list.csv"\n  columns:\n')
        assert len(program_of(content).records) == 1


@pytest.mark.parametrize("name", ["list.csv", "list.xlsx"])
def test_what_is_no_table_is_refused(name, imported):
    status, _, err = imported(name, b"\x00\x01\x02\xff\xfe" * 3, "--as", "records", "--encoding", "utf-8")
    assert status == 1
    assert "list." in err


@pytest.mark.parametrize("name", ["list.xls", "list.ods", "list.csv"])
def test_a_workbook_of_another_form_is_told_as_one(name, imported):
    """Both beginnings are those of PKWARE's APPNOTE 4.3.7 and of [MS-CFB] 2.2."""
    for data in (b"PK\x03\x04rest", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1rest"):
        status, _, err = imported(name, data, "--as", "records")
        assert (status, "a workbook of another form" in err, "one saved as .xlsx, or CSV" in err) == (1, True, True)


def test_words_are_found_in_any_case_and_with_any_marks():
    assert is_head_of("serial", "SERIAL NO. (maker)")
    assert meaning_of("result", "N.I.O.") == "fail"
    assert meaning_of("kind", "Kalibrierung") == ""  # in German it is comparing, in many plants adjusting: asked


# ---- a column for each gas, totals, merged cells ------------------------------------------


WIDE = """\
Bump round of the mill;;;;;;
Asset;Date;Time;Test;H2S (ppm) as found;O2 as found;Tester
d-001;24.11.2026;06:40;bump test;24,5;17,9;KD
d-002;24.11.2026;06:45;bump test;;17,8;KD
Total: 2;;;;;;
Signature:;;;;;;
End of report;;;;;;
"""


def rows_of(content):
    return [
        (
            one.unit.value,
            one.kind.value,
            one.sensor and one.sensor.value,
            one.as_found and one.as_found.value,
            one.as_left and one.as_left.value,
            one.where.line,
        )
        for one in program_of(content).records
    ]


def test_a_column_for_each_gas_is_a_record_for_each_and_totals_are_none(imported, content):
    status, out, _ = imported("round-2026-11.csv", WIDE.encode(), "--as", "records", "--write")
    assert status == 0, out
    assert "row 5, which begins with 'Total', is passed over" in out
    assert "row 7, which begins with 'End of report', is passed over" in out
    assert 'h2s.as-found: "H2S (ppm) as found"' in out
    found = Fraction(49, 2), Fraction(179, 10), Fraction(178, 10)
    assert rows_of(content) == [
        ("d-001", "bump-test", "h2s", found[0], None, 3),
        ("d-001", "bump-test", "o2", found[1], None, 3),
        ("d-002", "bump-test", "o2", found[2], None, 4),
    ], "the empty cell is no test of that sensor"
    ledger = compute(program_of(content), date(2026, 11, 25)).ledger
    key = "record.round-2026-11.{row}.as-found"
    assert ledger[key.format(row="3-h2s")].text == "24.5"
    assert ledger[key.format(row="3-o2")].text == "17.9"


def wide_book():
    """Heads in two rows under a merged title, one asset merged over its two tests, a merged last row."""
    book = Workbook()
    sheet = book.active
    for row in (
        ["Workshop log 2026"],
        [],
        ["Unit", "Date and time", "What was done", "O2", None, "H2S", None, "Checked"],
        [None, None, None, "before", "after", "before", "after", "by"],
        ["d-001", "2026-11-24 06:40", "calibration", 17.5, 18, 22, 25, "KD"],
        [None, "2026-11-25 06:40", "calibration", 17.9, 18, None, None, "KD"],
        ["Approved by K. D."],
    ):
        sheet.append(row)
    for merged in ("A1:H1", "A3:A4", "B3:B4", "C3:C4", "D3:E3", "F3:G3", "A5:A6", "A7:H7"):
        sheet.merge_cells(merged)
    return book


def test_heads_in_two_rows_and_merged_cells_are_read_as_they_are_seen(imported, content):
    status, out, err = imported("log.xlsx", wide_book(), "--as", "records", "--set", "by=Checked by", "--write")
    assert status == 0, out + err
    assert "what stands in cells merged over rows counts in each of them" in out
    assert rows_of(content) == [
        ("d-001", "calibration", "o2", Fraction(35, 2), Fraction(18), 5),
        ("d-001", "calibration", "h2s", Fraction(22), Fraction(25), 5),
        ("d-001", "calibration", "o2", Fraction(179, 10), Fraction(18), 6),
    ]


def test_a_gas_alone_may_be_found_or_left_where_anything_is_adjusted(imported):
    bare = "unit,time,kind,H2S\nd-001,2026-11-24T05:40-07:00,{kind},24.5\n"
    assert imported("a.csv", bare.format(kind="bump-test").encode(), "--as", "records")[0] == 0
    status, out, _ = imported("b.csv", bare.format(kind="calibration").encode(), "--as", "records")
    assert status == 1
    assert "perhaps h2s.as-found or h2s.as-left" in out
    answered = ("--set", "h2s.as-left=H2S")
    assert imported("b.csv", bare.format(kind="calibration").encode(), "--as", "records", *answered)[0] == 0


def test_a_last_row_that_is_no_known_total_is_asked_and_answered(imported):
    odd = "unit,time,kind\nd-001,2026-11-24T05:40-07:00,inspection\nBest wishes,,\n"
    status, out, _ = imported("a.csv", odd.encode(), "--as", "records")
    assert status == 1
    assert "row 3 ('Best wishes') lacks time or kind: --footer TEXT" in " ".join(out.split()).replace("unit or ", "")
    assert imported("a.csv", odd.encode(), "--as", "records", "--footer", "Best wishes")[0] == 0


def test_a_test_with_gas_that_has_no_gas_is_a_fault_and_a_row_like_a_total_is_none(imported, content):
    """Else it would count for the whole unit; and a row with all that a row needs is never passed over."""
    imported("round-2026-11.csv", WIDE.encode(), "--as", "records", "--write")
    path = content / "records" / "round-2026-11.csv"
    path.write_text(
        path.read_text(encoding="utf-8")
        .replace("d-002;24.11.2026;06:45;bump test;;17,8", "d-002;24.11.2026;06:45;bump test;;")
        .replace("Total: 2;;;", "Total: 2;24.11.2026;06:50;bump test"),
        encoding="utf-8",
    )
    with pytest.raises(ContentError) as caught:
        program_of(content)
    assert [str(one).partition(";")[0] for one in caught.value.problems] == [
        "records/round-2026-11.csv:4: bump-test without anything of any sensor",
        "records/round-2026-11.csv:5: bump-test without anything of any sensor",
    ]


def test_a_word_and_a_zone_are_answered_where_they_are_asked(imported, content):
    (content / "calendar.yaml").unlink()
    odd = "unit,time,kind,sensor\nd-001,24.11.2026 06:40,Rundgang,Loch\n"
    told = imported("a.csv", odd.encode(), "--as", "records")[1]
    assert '--value "sensor:Loch=..." with one of cat, o2, h2s, pid' in " ".join(told.split())
    answers = ("--value", "sensor:Loch=o2", "--value", "kind:Rundgang=inspection", "--zone", "Europe/Berlin")
    status, told, _ = imported("a.csv", odd.encode(), "--as", "records", *answers)
    assert status == 0, told
    assert "sensor: {Loch: o2}" in told
    assert "zone: Europe/Berlin" in told or 'zone: "Europe/Berlin"' in told
    assert imported("a.csv", odd.encode(), "--as", "records", "--value", "sensor:Lock=o2")[0] == 2


STATION = """\
Test station,Date,Time,Event,Port,Batch,Detector,Result,Version
Bench station,02.11.2026,06:00,Software update,,,,,3
Bench station,24.11.2026,06:10,Leak test,,,,OK,
Bench station,24.11.2026,06:17,Bump test,2,T4-2207,d-001,passed,
"""
STATIONS = """\
stations:
  - id: bench-station
    name: Bench station
    location: Bench
    models: [four-pumped]
    inlets: [{inlet: 1}]
    leak-test: {every: 7 days, last: 2026-11-23}
"""


def test_the_log_of_a_station_is_proposed_and_read(imported, content):
    (content / "stations.yaml").write_text(STATIONS, encoding="utf-8")
    status, out, err = imported("log-2026-11.csv", STATION.encode(), "--as", "station-log", "--zone", "UTC", "--write")
    assert (status, err) == (0, "")
    assert "what: {Software update: software, Leak test: leak-test, Bump test: test}" in out
    documents, problems = load_content(content)
    text = (content / "maps.yaml").read_text(encoding="utf-8")
    assert text.count("station-log:") == 1
    assert 'files: "log-*.csv"' in text
    (content / "stations.yaml").unlink()  # the small site has none of its models
    documents, problems = load_content(content)
    rows = read_program(documents, problems, library()).station_log
    told = [(row.what.value, row.time.value, row.passed) for row in rows]
    assert told == [
        ("software", datetime(2026, 11, 2, 6, 0, tzinfo=UTC), None),
        ("leak-test", datetime(2026, 11, 24, 6, 10, tzinfo=UTC), True),
        ("test", datetime(2026, 11, 24, 6, 17, tzinfo=UTC), True),
    ]
    assert {row.station.value for row in rows} == {"bench-station"}
