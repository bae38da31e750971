"""Whatever a content folder holds, `check` answers in bounded time and memory, or refuses it by its size.

Each hostile input is made small or is refused early, so the quick part runs with the suite. The bounds, ten seconds of
processor time and one gigabyte, are the project's own promise; there is no outside source for them.
"""

from __future__ import annotations

import os
import resource
import sys
import traceback
from dataclasses import dataclass
from pathlib import Path
from zipfile import ZipFile

import pytest
from openpyxl import Workbook

from builder.base.errors import MOST_TOLD
from builder.cli.main import run
from tests.trust.long import LONG

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
SECONDS, BYTES = 10, 2**30
UNIT = "  - id: u-{n}\n    model: {model}\n    serial: S-{n}\n    state: spare\n    pool: store\n"


@dataclass(frozen=True)
class Done:
    """How a command ended and what it said, or the signal that ended it below zero."""

    returncode: int
    stderr: str


def bounded():
    """In the child: end it beyond the time, refuse it memory beyond the bound."""
    pages = int(Path("/proc/self/statm").read_text().split()[5])
    most = BYTES + pages * resource.getpagesize()  # what the tests themselves hold is not the command's
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 1))
    resource.setrlimit(resource.RLIMIT_DATA, (most, most))


def checked(content, *arguments):
    """The command in a process of its own that begins with what is loaded here already."""
    told = content.parent / "told"
    child = os.fork()
    if child == 0:
        status = 99
        try:
            bounded()
            sys.stdout = sys.stderr = told.open("w", encoding="utf-8")
            status = run(["check", "--content", str(content), "--as-of", "2026-11-25", *arguments])
        except BaseException:  # noqa: BLE001 - whatever it is, the parent looks for it
            traceback.print_exc()
        finally:
            sys.stderr.flush()
            os._exit(status)
    _, ended = os.waitpid(child, 0)
    return Done(os.waitstatus_to_exitcode(ended), told.read_text(encoding="utf-8"))


def refused(done, *texts):
    assert done.returncode == 1, done.stderr[-600:]
    assert "Traceback" not in done.stderr
    for text in texts:
        assert text in done.stderr
    return done.stderr


def with_inventory(content, name, data):
    (content / "inventory.yaml").unlink()
    (content / name).write_bytes(data)


def styled_at_the_last_row(path):
    book = Workbook()
    book.active.append(["id", "model", "serial", "state", "pool"])
    book.active.append(["u-1", "no-such-model", "S-1", "spare", "store"])
    book.active["A1048576"].number_format = "0.00"
    book.save(path)
    assert path.stat().st_size < 6000


def test_an_empty_styled_cell_at_the_last_row_of_a_workbook_costs_nothing(content):
    (content / "inventory.yaml").unlink()
    styled_at_the_last_row(content / "inventory.xlsx")
    refused(checked(content), "inventory.xlsx:2", "no-such-model")


def rewritten(path, part, change):
    with ZipFile(path) as old:
        data = {name: old.read(name) for name in old.namelist()}
    data[part] = change(data[part])
    with ZipFile(path, "w", 8) as new:
        for name, written in data.items():
            new.writestr(name, written)


ROWS = {
    "a million rows": (b'<row><c t="n"><v>1</v></c></row>' * 1_000_000, "marks for its cells"),
    "a row far below the last": (b'<row r="999999999"><c r="A999999999"><v>1</v></c></row>', "beyond the last"),
    "rows beyond the last": (b"<row/>" * 100, "not a workbook that can be read"),
}


@pytest.mark.parametrize("name", ROWS)
def test_a_sheet_of_too_much_is_refused_by_its_size(name, content):
    more, said = ROWS[name]
    (content / "inventory.yaml").unlink()
    path = content / "inventory.xlsx"
    styled_at_the_last_row(path)
    rewritten(path, "xl/worksheets/sheet1.xml", lambda data: data.replace(b"</sheetData>", more + b"</sheetData>"))
    refused(checked(content), said)


def test_wide_rows_are_refused_by_the_number_of_their_cells(content):
    (content / "inventory.yaml").unlink()
    path = content / "inventory.xlsx"
    styled_at_the_last_row(path)
    rows = b"".join(b'<row r="%d"><c r="XFD%d"/></row>' % (n, n) for n in range(3, 200_000))
    rewritten(
        path, "xl/worksheets/sheet1.xml", lambda data: data.replace(b'<row r="1048576"', rows + b'<row r="1048576"')
    )
    refused(checked(content), "cells, empty ones among them")


@pytest.mark.parametrize("order", [(3, 2), (2, 2)])
def test_rows_that_do_not_rise_are_refused_since_one_would_be_lost(order, content):
    (content / "inventory.yaml").unlink()
    path = content / "inventory.xlsx"
    styled_at_the_last_row(path)
    rows = b"".join(b'<row r="%d"><c r="A%d"><v>1</v></c></row>' % (n, n) for n in order)
    rewritten(path, "xl/worksheets/sheet1.xml", lambda data: data.replace(b"<sheetData>", b"<sheetData>" + rows))
    refused(checked(content), "not a workbook that can be read")


def test_a_wrong_word_in_each_of_eight_thousand_units_is_told_fifty_times_and_counted(content):
    text = "units:\n" + "".join(UNIT.format(n=n, model="no-such-model") for n in range(8000))
    (content / "inventory.yaml").write_text(text, encoding="utf-8")
    told = refused(checked(content), "and 7950 more faults in lines up to this one", "8000 faults in the content")
    assert told.count("no-such-model'") == MOST_TOLD


def test_twenty_thousand_heads_are_refused(content):
    with_inventory(content, "inventory.csv", (",".join(f"head-{n}" for n in range(20_000)) + "\n").encode())
    refused(checked(content), "inventory.csv:1: 20000 columns", "at most 500 columns")


def test_a_hundred_thousand_unknown_keys_are_told_in_part(content):
    with (content / "site.yaml").open("a", encoding="utf-8") as site:
        site.writelines(f"key-{n}: x\n" for n in range(100_000))
    refused(checked(content), "unknown key 'key-0'", "and 99950 more faults")


RECORDS = "unit,time,kind,sensor,cylinder,as-found,as-left,seconds,result,by,note\n"
ROW = "d-001,2026-08-25T13:00-05:00,inspection,,,,,,pass,MO,\n"
LOGS = {
    "blank lines": ("\n" * 20_000_000, "more than 300000 lines"),
    "short rows": ("x\n" * 250_000, "250000 faults"),
    "wide rows": (("a," * 400_000 + "\n") * 50, "400001 cells"),
    "a long row": ("a" * 2_000_000, "a line of 1000000 characters"),
    "a long cell": (ROW.replace("inspection", "x" * 900_000), "field larger than field limit"),
    "an open quote": ('"' + "a\n" * 200_000, "field larger than field limit"),
    "bytes": (ROW * 1_200_000, "at most 60000000 bytes"),
}
if LONG:
    LOGS["sound rows"] = (ROW * 300_001, "more than 300000 lines")


@pytest.mark.parametrize("name", LOGS)
def test_records_of_too_much_are_refused(name, content):
    text, said = LOGS[name]
    (content / "records").mkdir(exist_ok=True)
    (content / "records" / "a.csv").write_text(RECORDS + text, encoding="utf-8")
    refused(checked(content), said)


HEAPS = {
    "sequence": "[" + "a," * 9_000_000 + "]",
    "lines": "- a\n" * 2_500_000,
    "mapping": "{" + ",".join(map(str, range(1_000_000))) + "}",
    "dashes": "- " * 4_000_000,
    "nested": "[" * 100_000,
    "one long text": "a" * 9_000_000,
    "too long": "# " + "x" * 19_000_000,
    "aliases": "a: &a [x]\n" + "".join(f"k{n}: *a\n" for n in range(200_000)),
}
if LONG:
    HEAPS["as many as may be"] = "[" + "a," * 490_000 + "]"
    HEAPS["as many keys as may be"] = "{" + ",".join(map(str, range(490_000))) + "}"


@pytest.mark.parametrize("name", HEAPS)
def test_heaps_of_tiny_items_are_refused(name, content):
    (content / "areas.yaml").write_text(HEAPS[name], encoding="utf-8")
    refused(checked(content), "areas.yaml")


PART = 1 if LONG else 10
"""By which sizes are parted here; `make trust` tries the whole of what prose may have."""
PROSE = {
    "too long": "word " * 4_000_000,
    "stars": "*a **a " * (25_000 // PART),
    "brackets": "[" * (190_000 // PART),
    "ticks": "".join("`" * n + " " for n in range(600)),
    "table": "|a" * (95_000 // PART) + "\n" + "|-" * 10,
    "lists": "".join(" " * n + "- a\n" for n in range(600)),
    "links": "[a](" * (45_000 // PART),
}


@pytest.mark.parametrize("name", PROSE)
def test_prose_of_any_shape_is_read_in_time(name, content):
    page = content / "pages" / "home.md"
    page.write_text(page.read_text(encoding="utf-8") + "\n\n" + PROSE[name] + "\n", encoding="utf-8")
    done = checked(content)
    assert done.returncode in (0, 1), done.stderr[-600:]
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("name", ["site.yaml", "pages/home.md", "inventory.csv", "records/a.csv", "README.md"])
def test_a_pipe_named_like_a_content_file_is_refused_and_not_waited_for(name, content):
    path = content / name
    path.parent.mkdir(exist_ok=True)
    path.unlink(missing_ok=True)
    os.mkfifo(path)
    if name == "README.md":
        refused(checked(content), "README.md:1: neither a file nor a folder")
    else:
        refused(checked(content), "a plain file")
