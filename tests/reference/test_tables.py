"""The form of the shipped tables, and that a malformed one is refused with table and line."""

from __future__ import annotations

import pickle
import re
from importlib.resources import files
from typing import TYPE_CHECKING

import pytest

from builder.reference.errors import AmbiguousGasError, TableError, UnknownGasError, UnknownNameError
from builder.reference.sources import OPTIONAL, REQUIRED
from builder.reference.tables import (
    NO_UNIT,
    TABLES,
    UNIT_IN_ROW,
    Row,
    parse_table,
    parts,
    read_table,
    was_read,
    was_read_once,
)
from tests.each import each
from tests.reference.cases import cases, ids, rows

if TYPE_CHECKING:
    from builder.base.errors import HandbookError

COUNTS = {
    "chemicals-1-5-2-elements": 2,
    "ciaaw-atomic-weights-2021": 11,
    "eu-ioelv": 38,
    "gases": 62,
    "heats-of-combustion": 40,
    "iec-60079-20-1-2010": 43,
    "limit-lists": 6,
    "nfpa-497-2008": 40,
    "niosh-idlh-profiles": 4,
    "niosh-pocket-guide-2005": 52,
    "nist-ionisation-energy": 8 + 1,
    "osha-29cfr1910-subpart-z": 47,
    "osha-29cfr1915-1000": 12,
    "osha-29cfr1926-55": 32,
    "places": 16 + 14,
    "retention-minimums": 6,
    "rules": 46 + 24,
    "uk-eh40-2005": 48,
    "vapour-pressure-perry-2007": 25,
}
"""Rows of each table as split from the seed of 2026-11 and added since; a lost or doubled row shows here."""

NOT_OF_GASES = ("gases", "rules", "places", "ciaaw-atomic-weights-2021", "limit-lists", "retention-minimums")
"""Tables whose rows are no gases."""

UNIT_ENDINGS = {"_pct_vol": "%vol", "_ppm": "ppm", "_c": "°C", "_ev": "eV", "_g_mol": "g/mol", "_k": "K"}
UNIT_ENDINGS |= {"_number": NO_UNIT, "_hours": "h", "_kj_mol": "kJ/mol", "_mass": "mg/m3"}

GOOD = """\
# id: demo
# title: A table
# edition: 1
# locator: page 1
# how_read: in print
# checked: 2026-11
# licence: none
# evidence: law
# unit.twa_ppm: ppm
# unit.stel_ppm: ppm
# text: id not_read locator note
id,twa_ppm,stel_ppm,not_read,locator,note
a,1,2,stel_ppm,p. 2,"stel_ppm: over 15 minutes; twa_ppm, stel_ppm: skin; see also: page 9"
b,3,4,,,
"""


def every_row(name: str) -> list[Row]:
    table = read_table(name)
    return [*table.rows.values(), *(row for rows in table.later.values() for row in rows)]


def test_every_file_of_the_folder_is_a_table() -> None:
    folder = files("builder.reference").joinpath("tables")
    assert [item.name for item in folder.iterdir() if not item.name.endswith(".csv")] == []


@each("name", TABLES)
def test_row_count(name: str) -> None:
    assert len(ids(read_table(name))) == COUNTS.get(name), "count the rows of the source, then of the table"


@each("name", TABLES)
def test_head_is_complete(name: str) -> None:
    source = read_table(name).source
    assert source.id == name
    assert [key for key in REQUIRED if not getattr(source, key).strip()] == []
    assert re.fullmatch(r"20\d\d-(0[1-9]|1[0-2])", source.checked), "year and month of the reading"
    assert source.cited() == f"{source.title}; edition: {source.edition}"


@each("name", TABLES)
def test_unit_of_each_column_is_in_its_name(name: str) -> None:
    for column, unit in read_table(name).units.items():
        if unit == UNIT_IN_ROW:
            continue
        endings = [ending for ending in UNIT_ENDINGS if column.endswith(ending)]
        assert [UNIT_ENDINGS[ending] for ending in endings] == [unit], column


def test_tables_about_gases_know_every_gas_they_name() -> None:
    gases = read_table("gases").rows
    strangers = {
        (name, row_id)
        for name in TABLES
        if name not in NOT_OF_GASES
        for row_id in ids(read_table(name))
        if row_id not in gases
    }
    assert strangers == set()


def test_cells_from_memory_are_exactly_the_listed_ones() -> None:
    marked = {
        (name, row_id, column)
        for name in TABLES
        for row in every_row(name)
        for row_id, column in ((row["id"], column) for column in parts(row.get("not_read", "")))
    }
    listed = {(row["table"], row["gas"], row["column"]) for row in rows("not-read.csv")}
    assert marked == listed
    assert len(listed) == 58 + 5  # the seed's README counts 58 cells; five came with later tables


def test_a_good_table_is_read() -> None:
    table = parse_table("demo", GOOD)
    assert list(table.rows) == ["a", "b"]
    assert table.units == {"twa_ppm": "ppm", "stel_ppm": "ppm"}
    assert table.text("a", "twa_ppm") == "1"
    assert table.text("c", "twa_ppm") == ""
    assert was_read(table.rows["a"], "twa_ppm")
    assert not was_read(table.rows["a"], "stel_ppm")


def test_a_remark_reaches_only_the_columns_it_names() -> None:
    table = parse_table("demo", GOOD)
    assert table.note(table.rows["a"], "twa_ppm") == "skin; see also: page 9"
    assert table.note(table.rows["a"], "stel_ppm") == "over 15 minutes; skin; see also: page 9"
    assert table.note(table.rows["b"], "twa_ppm") == ""


def test_rows_with_a_day_replace_earlier_ones_from_that_day_on() -> None:
    text = GOOD.replace("# text: id", "# text: id from read_once revised").replace(
        "id,twa_ppm,stel_ppm,", "id,twa_ppm,stel_ppm,from,read_once,revised,"
    )
    text = text[: text.index("\na,") + 1] + (
        "a,1,2,2030-05-01,,,,,\na,5,,2020-05-01,twa_ppm,,,,\na,7,,,,,,,\nb,,4,,,twa_ppm,,p. 9,\n"
    )
    table = parse_table("demo", text)
    found = [(day.isoformat() if day else "", row["twa_ppm"]) for day, row in table.series("a", "twa_ppm")]
    assert found == [("", "7"), ("2020-05-01", "5"), ("2030-05-01", "1")]
    assert [row["stel_ppm"] for _, row in table.series("a", "stel_ppm")] == ["2"]
    assert was_read_once(table.later["a"][0], "twa_ppm")
    assert not was_read_once(table.rows["a"], "twa_ppm")
    assert table.revised("b", "twa_ppm")
    assert not table.revised("b", "stel_ppm")
    assert ids(table) == ("a", "b")
    for old, new, fault in (
        (",2020-05-01,", ",2020-5-1,", "from '2020-5-1' is no day, as in 2026-04-05"),
        (",2020-05-01,", ",2030-05-01,", "id 'a' is taken twice"),
        ("2020-05-01,twa_ppm", "2020-05-01,stel_ppm", "read_once names 'stel_ppm', which has no value here"),
        ("b,,4,,,twa_ppm", "b,,4,,,stel_ppm", "revised names 'stel_ppm', which is no column without a value here"),
    ):
        assert text.count(old) == 1
        with pytest.raises(TableError, match=re.escape(fault)):
            parse_table("demo", text.replace(old, new))


@each("key", REQUIRED)
def test_no_required_head_line_may_be_missing(key: str) -> None:
    text = "".join(line for line in GOOD.splitlines(keepends=True) if not line.startswith(f"# {key}:"))
    with pytest.raises(TableError, match=rf"line 10: head lines missing: {key}$"):
        parse_table("demo", text)


def test_optional_head_lines_are_kept() -> None:
    extra = "".join(f"# {key}: about {key}\n" for key in OPTIONAL)
    source = parse_table("demo", extra + GOOD).source
    assert (source.caution, source.left_out) == ("about caution", "about left_out")


@each("case", cases("broken-tables.csv"))
def test_a_malformed_table_is_refused(case: dict[str, str]) -> None:
    old = case["old"].replace("\\n", "\n")
    assert GOOD.count(old) == 1, "the change must fit the good table"
    with pytest.raises(TableError) as caught:
        parse_table("demo", GOOD.replace(old, case["new"]))
    assert str(caught.value) == case["message"]


def test_an_unknown_table_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as caught:
        read_table("nfpa-497-2021")
    assert caught.value.nearest[0] == "nfpa-497-2008"


@pytest.mark.parametrize(
    "error",
    [
        TableError("demo", 3, "a fault"),
        UnknownNameError("place", "here", ("there",)),
        UnknownGasError("metane", ("methane",)),
        AmbiguousGasError("C4H10", ("n-butane", "isobutane")),
    ],
)
def test_errors_survive_pickling(error: HandbookError) -> None:
    again = pickle.loads(pickle.dumps(error))  # noqa: S301 - our own bytes
    assert type(again) is type(error)
    assert str(again) == str(error)
    assert vars(again) == vars(error)
