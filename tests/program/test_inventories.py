"""One inventory, whichever file it is kept in, with the builder's heads or the user's own."""

from __future__ import annotations

import csv
import io
import time
from datetime import date

import pytest
from openpyxl import Workbook

from builder.base.errors import ContentError
from builder.program.inventory import STATES

YAML = """\
units:
  - id: d-001
    model: three-pumped
    serial: "000123456789012"
    state: in-use
    area: pit
    cylinder: c-1
    holder: Crew 2
    last: {bump: 2026-11-24, calibration: 2026-08-31}
    sensors:
      - {sensor: cat, fitted: 2025-03-01, serial: "77"}
      - {sensor: o2, fitted: 2025-03-02}
  - id: d-002
    model: vapour-only
    serial: V1-0001
    state: quarantined
    pool: Rack
    last: {bump: 2026-11-20}
    note: '"yellow"; the second'
"""
PLAIN = [
    "id", "model", "serial", "state", "area", "pool", "cylinder", "holder", "last.bump", "last.calibration",
    "fitted.cat", "fitted.o2", "sensor-serial.cat", "note",
]  # fmt: skip
OWN = [
    "Asset", "Type", "Serial no.", "Status", "Where used", "Rack", "Bottle", "Given to", "Last bump", "Last cal.",
    "LEL since", "O2 since", "LEL no.", "Remarks",
]  # fmt: skip
ROWS = [
    [
        "d-001", "three-pumped", "000123456789012", "in-use", "pit", "", "c-1", "Crew 2", "2026-11-24", "2026-08-31",
        "2025-03-01", "2025-03-02", "77", "",
    ],
    [
        "d-002", "vapour-only", "V1-0001", "quarantined", "", "Rack", "", "", "2026-11-20", "", "", "", "",
        '"yellow"; the second',
    ],
]  # fmt: skip
WORDS = {"three-pumped": "3P", "vapour-only": "VOC", "in-use": "In service", "quarantined": "Lost"}
MAP = (
    "inventory:\n  columns:\n"
    + "".join(f'    {field}: "{head}"\n' for field, head in zip(PLAIN, OWN, strict=True))
    + "  values:\n    model: {3P: three-pumped, VOC: vapour-only}\n"
    + "    state: {In service: in-use, Lost: quarantined}\n"
    + '  ignore: [Colour, "Purchase order"]\n'
)


def own(rows):
    """The rows in the user's own words, with columns that mean nothing."""
    return [[*(WORDS.get(cell, cell) for cell in row), "red", "PO 1"] for row in rows]


def as_csv(head, rows, mark=","):
    out = io.StringIO()
    csv.writer(out, delimiter=mark, lineterminator="\r\n").writerows([head, *rows])
    return out.getvalue().encode()


def as_xlsx(head, rows, sheet="Sheet"):
    book = Workbook()
    book.active.title = sheet
    book.active.append(head)
    for row in rows:
        book.active.append([_cell(text) for text in row])
    book.active["C2"].number_format = "0" * 15
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _cell(text):
    """As a person types it: days become dates, digits numbers."""
    if text.isdigit():
        return int(text)
    return date.fromisoformat(text) if text.startswith("202") else text or None


@pytest.fixture
def inventory(changed, program_of):
    """The units of a site with this inventory and these further maps."""

    def read(name, data, maps=""):
        folder = changed()
        (folder / "inventory.yaml").unlink()
        (folder / name).write_bytes(data)
        path = folder / "maps.yaml"
        path.write_text(maps + path.read_text(encoding="utf-8"), encoding="utf-8")
        return program_of(folder).units

    return read


def plain(units):
    """Units without the places they stand at."""

    def value(given):
        return given.value if given else None

    return [
        (
            unit.id,
            *map(value, (unit.model, unit.serial, unit.state, unit.area, unit.pool)),
            " ".join(cylinder.value for cylinder in unit.cylinders) or None,
            value(unit.holder),
            {check: day.value for check, day in unit.last.items()},
            [(part.sensor.value, value(part.fitted), value(part.serial)) for part in unit.sensors],
            unit.note,
        )
        for unit in units.values()
    ]


@pytest.mark.parametrize(
    ("name", "data", "maps"),
    [
        ("inventory.yaml", YAML.encode(), ""),
        ("inventory.csv", as_csv(PLAIN, ROWS), ""),
        ("inventory.csv", as_csv(PLAIN, ROWS, ";"), ""),
        ("inventory.csv", b"\xef\xbb\xbf" + as_csv(PLAIN, ROWS), ""),
        ("inventory.csv", as_csv([*OWN, "Colour", "Purchase order"], own(ROWS)), MAP),
        ("inventory.xlsx", as_xlsx(PLAIN, ROWS), ""),
        ("inventory.xlsx", as_xlsx([*OWN, "Colour", "Purchase order"], own(ROWS)), MAP),
        (
            "inventory.xlsx",
            as_xlsx([*OWN, "Colour", "Purchase order"], own(ROWS), "Units"),
            MAP.replace("inventory:\n", "inventory:\n  sheet: Units\n"),
        ),
    ],
    ids=["yaml", "csv", "semicolons", "mark", "csv, own heads", "xlsx", "xlsx, own heads", "xlsx, named sheet"],
)
def test_whatever_file_it_is_kept_in_the_units_are_the_same(name, data, maps, inventory):
    units = inventory(name, data, maps)
    assert plain(units) == [
        (
            "d-001", "three-pumped", "000123456789012", "in-use", "pit", None, "c-1", "Crew 2",
            {"bump": date(2026, 11, 24), "calibration": date(2026, 8, 31)},
            [("cat", date(2025, 3, 1), "77"), ("o2", date(2025, 3, 2), None)], "",
        ),
        (
            "d-002", "vapour-only", "V1-0001", "quarantined", None, "Rack", None, None,
            {"bump": date(2026, 11, 20)}, [], '"yellow"; the second',
        ),
    ]  # fmt: skip


def test_days_in_the_users_own_form(inventory):
    rows = [[".".join(reversed(c.split("-"))) if c.startswith("202") else c for c in row] for row in ROWS]
    maps = 'inventory:\n  time-format: "%d.%m.%Y"\n'
    assert plain(inventory("inventory.csv", as_csv(PLAIN, rows), maps))[0][8]["bump"] == date(2026, 11, 24)


def refused(inventory, *arguments):
    with pytest.raises(ContentError) as caught:
        inventory(*arguments)
    return str(caught.value).split("\n")


HEAD = ["id", "model", "serial", "state", "pool"]


@pytest.mark.parametrize(("name", "write"), [("inventory.csv", as_csv), ("inventory.xlsx", as_xlsx)])
def test_faults_of_heads_and_rows_have_their_place(name, write, inventory):
    rows = [["d-1", "vapour-only", "S1", "in-use", "Rack"], ["d-1", "vapour-only", "S1", "used", "Rack"]]
    assert refused(inventory, name, write(HEAD, rows)) == [
        f"{name}:3: 'used' for 'state'; allowed: one of {', '.join(STATES)}; nearest: in-use",
        f"{name}:3: serial 'S1' stands twice (first at {name}:2); allowed: each serial once",
        f"{name}:3: unit id 'd-1' stands twice (first at {name}:2); allowed: each id once",
    ]


@pytest.mark.parametrize(("name", "write"), [("inventory.csv", as_csv), ("inventory.xlsx", as_xlsx)])
def test_heads_that_are_not_known_and_heads_that_are_missing(name, write, inventory):
    rows = [["d-1", "vapour-only", "S1", "in-use", "Rack"]]
    fields = "id, model, serial, state, since, area, also-in, pool, cylinder, holder, battery, note, "
    fields += "last.ID, fitted.ID, sensor-serial.ID"
    allowed = f"a column that maps.yaml names, or lists under ignore; or one of {fields}"
    assert refused(inventory, name, write([*HEAD[:3], "status", "pool"], rows)) == [
        f"{name}:1: column 'status' means nothing here; allowed: {allowed}; nearest: state",
    ]


@pytest.mark.parametrize("head", ["Bump due", "Next bump test", "Próxima prueba"])
def test_a_day_to_come_is_no_day_of_a_last_check(head, inventory):
    """Of a unit that is overdue such a day has gone by, and would count as a check that was done."""
    rows = [["d-1", "vapour-only", "S1", "in-use", "Rack", "2026-09-01"]]
    maps = f"inventory:\n  columns: {{last.bump: {head}}}\n"
    [fault] = refused(inventory, "inventory.csv", as_csv([*HEAD, head], rows), maps)
    assert fault.startswith(f"maps.yaml:2: head {head!r} for last.bump, the day on which a check was done; allowed:")


@pytest.mark.parametrize(
    ("serial", "made_of"),
    [
        ("1.23457E+11", "a long number that a spreadsheet shortened"),  # 123457000000 in a narrow cell, saved as CSV
        ("2026-03-12", "a day that a spreadsheet took it for"),  # 03-12, typed into a cell that is no text
    ],
)
def test_a_serial_of_which_a_spreadsheet_made_something_else_is_refused(serial, made_of, inventory):
    """What it was is not in the file any more."""
    texts = (serial, "00E12", "12-03-20261")
    rows = [[f"d-{n}", "vapour-only", text, "in-use", "Rack"] for n, text in enumerate(texts)]
    told = f"inventory.csv:2: serial '{serial}', {made_of}; allowed: all its digits, in a column saved as text"
    assert refused(inventory, "inventory.csv", as_csv(HEAD, rows)) == [told]


def test_a_head_of_the_map_that_is_not_there_is_named(inventory):
    rows = [["d-1", "vapour-only", "S1", "in-use", "Rack"]]
    maps = "inventory:\n  columns: {pool: Place}\n"
    assert refused(inventory, "inventory.csv", as_csv(HEAD, rows), maps)[1:] == [
        "inventory.csv:1: no column 'Place', which maps.yaml has for pool",
    ]


def test_ten_thousand_units_are_read_in_a_few_seconds(inventory):
    rows = [[f"d-{n:05}", "vapour-only", f"S{n}", "spare", "Rack"] for n in range(10_000)]
    start = time.perf_counter()
    units = inventory("inventory.csv", as_csv(HEAD, rows))
    assert len(units) == 10_000
    assert str(units["d-09999"].where) == "inventory.csv:10001"
    assert time.perf_counter() - start < 20  # seconds; about one on a slow machine, far more if it grew with the square
