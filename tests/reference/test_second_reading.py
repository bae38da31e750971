"""Every cell of the tables against another reading of it: another copy, or another body that quotes the same value.

Source of each reading: column ``source`` of ``second-reading.csv``; where the two differ its ``note`` explains why the
table is kept, or which newer table has the other value. Cells without a second reading are exactly those marked
``read_once``. The limits of Ontario in ``chemicals`` (R.R.O. 1990, Reg. 833) are another law: they cannot confirm a
cell, but show a lost or an added nought.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from decimal import Decimal

from chemicals import safety

from builder.reference.library import IONISATION_ENERGY_SOURCES, library
from builder.reference.limits import column_of
from builder.reference.tables import ReferenceTable, parts, read_table
from tests.each import each
from tests.reference.cases import cases, ids, rows

LIBRARY = library()
DAY = date(2026, 11, 28)
READINGS = rows("second-reading.csv")
NEWEST = {row["gas_id"]: row["value_second"] for row in READINGS if row["table"] == "niosh-idlh-profiles"}
COMPARED = sorted(
    {table.source.id for listed in LIBRARY.limit_lists().values() for table in listed.tables}
    | {*IONISATION_ENERGY_SOURCES} - {"chemicals-1-5-2-elements"}
)
"""Tables that came from one reading; those copied from `chemicals` are compared with it cell by cell elsewhere."""

ONTARIO = {
    "twa": (safety.TWA, safety.TWA_methods),
    "stel": (safety.STEL, safety.STEL_methods),
    "ceiling": (safety.Ceiling, safety.Ceiling_methods),
}
FAR_APART = {
    ("osha", "propylene-oxide", "twa"): "limit of 1971, before it was known as a carcinogen; read twice as 100",
    ("osha", "hydrazine", "twa"): "limit of 1971, before it was known as a carcinogen; read twice as 1",
    ("osha-construction", "hydrazine", "twa"): "the same limit of 1971",
    ("osha", "carbon-disulfide", "twa"): "limit of 1971 with a ceiling of 30 beside it; read twice as 20",
    ("osha-construction", "carbon-disulfide", "twa"): "the same limit of 1971",
    ("osha-shipyard", "carbon-disulfide", "twa"): "the same limit of 1971",
    ("osha", "toluene", "twa"): "limit of 1971; Ontario's 20 is of this century; read twice as 200",
    ("osha-construction", "toluene", "twa"): "the same limit of 1971",
    ("osha-shipyard", "toluene", "twa"): "the same limit of 1971",
    ("osha", "arsine", "twa"): "limit of 1971; Ontario's 0.005 is of this century; read twice as 0.05",
    ("uk", "arsine", "twa"): "read once; same as the OSHA limit, ten times Ontario's",
    ("osha", "n-hexane", "twa"): "limit of 1971; NIOSH and Ontario have 50; read twice as 500",
    ("osha-construction", "n-hexane", "twa"): "the same limit of 1971",
    ("uk", "nitric-oxide", "twa"): "read once; as in the EU list since (EU) 2017/164",
    ("eu", "nitric-oxide", "twa"): "lowered by (EU) 2017/164; read twice as 2",
    ("niosh", "ethylene-oxide", "twa"): "recommended for a carcinogen; printed as less than 0.1, read twice",
    ("niosh", "formaldehyde", "ceiling"): "recommended for a carcinogen at what could be measured; read twice as 0.1",
}
"""List, gas and kind whose limits are ten or more times apart -> why."""


def cells(table: ReferenceTable) -> set[tuple[str, str, str]]:
    return {
        (table.source.id, gas, column) for gas in ids(table) for column in table.units if any(table.series(gas, column))
    }


def _as_exact_as(printed: str, second: str) -> Decimal:
    """The second value with no more decimals than the first prints."""
    value, step = Decimal(second), Decimal(1).scaleb(Decimal(printed).as_tuple().exponent)  # type: ignore[arg-type]
    return value.quantize(step) if value.as_tuple().exponent < step.as_tuple().exponent else value  # type: ignore[operator]


@each("row", cases("second-reading.csv"))
def test_a_cell_is_what_its_second_reading_says(row: dict[str, str]) -> None:
    table = read_table(row["table"])
    texts = [cell[row["column"]] for _, cell in table.series(row["gas_id"], row["column"])]
    assert (texts[-1] if texts else "") == row["value_in_table"]
    assert row["source"]
    assert row["agrees"] in ("yes", "no")
    if row["agrees"] == "yes":
        assert Decimal(texts[-1]) == _as_exact_as(texts[-1], row["value_second"])
    else:
        assert not texts or Decimal(texts[-1]) != Decimal(row["value_second"])
        assert row["note"], "a difference has its explanation"
    if row["newer"] == "yes":
        assert NEWEST[row["gas_id"]] == row["value_second"]
        found = LIBRARY.limits(row["gas_id"], "niosh", DAY)["idlh"]
        assert Decimal(found.text) == Decimal(row["value_second"])
        assert found.source.id == "niosh-idlh-profiles"


@each("name", COMPARED)
def test_cells_without_a_second_reading_are_exactly_those_marked_so(name: str) -> None:
    table = read_table(name)
    twice = {(row["table"], row["gas_id"], row["column"]) for row in READINGS}
    marked = {
        (name, row["id"], column)
        for row in (*table.rows.values(), *(row for later in table.later.values() for row in later))
        for column in parts(row.get("read_once", ""))
    }
    from_memory = {(row["table"], row["gas"], row["column"]) for row in rows("not-read.csv")}
    assert cells(table) - twice - from_memory == marked - from_memory
    assert not marked & twice


def test_how_many_cells_were_read_once() -> None:
    listed = Counter(row["table"] for row in rows("read-once.csv"))
    marked = Counter(
        name
        for name in COMPARED
        for row in read_table(name).rows.values()
        for column in parts(row.get("read_once", ""))
    )
    assert marked == listed
    # the notes of the second reading count 36, 36, 7 and 3; the tables of construction and shipyards came later
    seed = ("niosh-pocket-guide-2005", "uk-eh40-2005", "eu-ioelv", "nist-ionisation-energy")
    assert [listed[name] for name in seed] == [36, 36, 7, 3]


@each("row", cases("read-once.csv"))
def test_a_value_read_once_says_so(row: dict[str, str]) -> None:
    table = read_table(row["table"])
    (cell,) = (cell for _, cell in table.series(row["gas"], row["column"]))
    assert row["column"] in parts(cell["read_once"])
    assert cell[row["column"]] == row["value"]


def test_no_limit_is_a_nought_away_from_another_law() -> None:
    compared, apart = 0, set()
    for gas in LIBRARY.gases():
        for name in LIBRARY.limit_lists():
            for kind, limit in LIBRARY.limits(gas.id, name, DAY).items():
                if kind not in ONTARIO or not ONTARIO[kind][1](CASRN=gas.cas):
                    continue
                value, unit = ONTARIO[kind][0](CASRN=gas.cas)
                assert unit == "ppm"
                compared += 1
                if not 0.1 < float(limit.value) / value < 10:
                    apart.add((name, gas.id, kind))
    assert apart == set(FAR_APART)
    assert compared > 150


def test_columns_are_named_by_kind() -> None:
    units = {column for name in COMPARED for column in read_table(name).units if column.endswith("_ppm")}
    assert units == {column_of(kind) for kind in ("twa", "stel", "excursion", "ceiling", "idlh")}
