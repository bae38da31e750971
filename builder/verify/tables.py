"""Tables for spreadsheets against the ledger, and against the pages of what their rows tell of."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from fractions import Fraction
from io import StringIO
from typing import Any, TypeAlias

from builder.verify.reading import packed
from builder.verify.report import Report
from builder.verify.site import Site

Row: TypeAlias = Mapping[str, str]
Faults: TypeAlias = Iterator[str]

EXACT = ", exact"
"""Ends the head of a column that tells exactly what the one before it tells as it is printed."""
OVERDUE = "overdue"
STATES = (OVERDUE, "never done", "due soon", "due", "before each days use")


def check_tables(site: Site, report: Report) -> None:
    """Every row of every table, cell by cell, and no row too many or too few."""
    check = report.check("rows of tables for spreadsheets")
    judges: dict[str, Callable[[Site, Row], Faults]] = {
        "figures": _figure,
        "units": _unit,
        "due": _due,
        "cylinders": _cylinder,
        "setpoints": _setpoint,
    }
    for name, judge in judges.items():
        path = f"data/{name}.csv"
        for number, row in enumerate(rows(site, path), start=2):
            why = next(judge(site, row), "")
            check.expect(not why, f"{site.at(path)}:{number}: {why}")
    for path in site.paths("data/", ".csv"):
        known = path.removeprefix("data/").removesuffix(".csv") in judges
        check.expect(known, f"{site.at(path)} is a table that nothing here can be held against")
    there = [row["key"] for row in rows(site, "data/figures.csv")]
    check.expect(sorted(there) == sorted(site.figures), f"{site.at('data/figures.csv')} has not every figure once")
    units = [row["id"] for row in rows(site, "data/units.csv")]
    check.expect(len(units) == len(set(units)), f"{site.at('data/units.csv')} has a unit twice")


def rows(site: Site, path: str) -> list[dict[str, str]]:
    """The rows of a table, without the signs that keep a spreadsheet from running a cell."""
    if not site.has(path):
        return []
    text = site.text(path).removeprefix("\ufeff")
    found = csv.DictReader(StringIO(text, newline=""), restkey="more", restval="")
    return [{_plain(name): _plain(str(cell)) for name, cell in row.items()} for row in found]


def _plain(cell: str) -> str:
    return cell.replace("'", "")


def _same(cell: str, wanted: str) -> bool:
    return packed(cell) == packed(_plain(wanted))


def _figure(site: Site, row: Row) -> Faults:
    figure = site.figures.get(row["key"])
    if figure is None:
        yield f"no figure is called {row['key']!r}"
        return
    exact = figure["exact"]
    over, _, under = ("", "", "") if _is_day(exact) else (exact if "/" in exact else f"{exact}/1").partition("/")
    wanted = {
        "what": figure["label"],
        "printed": figure["printed"],
        "number": figure["text"],
        "relation": figure["relation"],
        "decimal": figure["decimal"],
        "exact numerator": over,
        "exact denominator": under,
        "rounding": figure["rounding"],
        "formula": figure["formula"],
        "source": figure["source"],
        "read in its source": "yes" if figure["read"] else "no",
        "note": figure["note"],
    }
    for name, text in wanted.items():
        if not _same(row[name], text):
            yield f"{row['key']}: {name} is {row[name]!r}, but the ledger tells {text!r}"
    if not packed(figure["printed"]).endswith(packed(row["unit"])):
        yield f"{row['key']}: its unit is {row['unit']!r}, but the ledger prints {figure['printed']!r}"


def _told(site: Site, row: Row, column: str, key: str) -> Faults:
    """The printed and the exact cell of one figure; both are empty where the ledger has none."""
    figure = site.figures.get(key)
    printed, exact = (figure["printed"], figure["decimal"]) if figure else ("", "")
    if not _same(row[column], printed) or not _same(row[column + EXACT], exact):
        yield f"{column} is {row[column]!r} ({row[column + EXACT]!r}), but the ledger tells {printed!r} of {key}"


def _says(site: Site, path: str, texts: Iterator[str] | tuple[str, ...]) -> Faults:
    """Each text that a page does not say, apart from apostrophes."""
    page = site.page(path)
    if page is None:
        yield f"there is no {path}"
        return
    said = _plain(page.text)
    for text in texts:
        if text and packed(text) not in said:
            yield f"{path} does not say {text!r}"


def _leads(site: Site, path: str, folder: str, name: str) -> Faults:
    """A thing that a page has no link to, or that has no page."""
    page, target = site.page(path), site.thing(folder, name)
    if name and (page is None or not site.has(target) or not any(link.endswith(target) for link in page.links)):
        yield f"{path} does not lead to {target}"


def _unit(site: Site, row: Row) -> Faults:
    path = site.thing("units", row["id"])
    yield from _says(site, path, (row["id"], row["serial"], row["pool"], row["note"], row["state"].replace("-", " ")))
    for folder, column in (("models", "model"), ("areas", "area"), ("cylinders", "cylinder")):
        yield from _leads(site, path, folder, row[column])
    for column, cell in row.items():
        if column.startswith("last.") and cell:
            key = f"unit.{row['id']}.{column}"
            figure = site.figures.get(f"unit.{row['id']}.{column.removeprefix('last.')}.last")
            if figure is not None and figure["decimal"] != cell:
                yield f"{column} is {cell}, but the ledger tells {figure['decimal']}"
            if figure is None and not _is_day(cell):
                yield f"{key} is {cell!r}, which is no day"


def _is_day(text: str) -> bool:
    try:
        return bool(date.fromisoformat(text))
    except ValueError:
        return False


def _due(site: Site, row: Row) -> Faults:
    key = f"unit.{row['unit']}.{row['check']}"
    yield from _told(site, row, "last good", f"{key}.last")
    column = "holds until the end of"
    if row[column] or row[column + EXACT]:
        yield from _told(site, row, column, f"{key}.due")
    day, today = row[column + EXACT], site.json("figures.json")["as_of"]
    if (row["state"] == OVERDUE) != bool(day and day < today):
        yield f"its state is {row['state']!r}, but it holds until {day!r} and the handbook is of {today}"
    if row["state"] not in STATES:
        yield f"its state is {row['state']!r}"
    path = site.thing("units", row["unit"])
    yield from _says(site, path, (row["unit"], row["serial"], row["model"], row["check name"], row["place"]))
    yield from _leads(site, path, "areas", row["area"])
    yield from _says(site, site.thing("checks", row["check"]), (row["check name"],))


def _cylinder(site: Site, row: Row) -> Faults:
    key = f"cylinder.{row['cylinder']}"
    gas = f"{key}.{row['gas']}"
    for column, name in (
        ("certified", gas),
        ("uncertainty", f"{gas}.uncertainty"),
        ("on the sites LEL basis", f"{gas}.lel"),
        ("last day of use", f"{key}.expires"),
        ("checks left", f"{key}.tests-left"),
        ("certified on", f"{key}.certified-on"),
    ):
        yield from _told(site, row, column, name)
    label = site.figures.get(f"{gas}.label")
    if not _same(row["label"], label["printed"] if label else ""):
        yield f"its label is told as {row['label']!r}"
    path = site.thing("cylinders", row["cylinder"])
    papers = (row["certificate"], row["certified by"], row["traceable to"])
    yield from _says(site, path, (row["cylinder"], row["lot"], row["kept at"], row["gas name"], *papers))
    for check in row["serves"].split():
        yield from _leads(site, path, "checks", check)
    yield from _says(site, site.thing("gases", row["gas"]), (row["gas name"],))


def _setpoint(site: Site, row: Row) -> Faults:
    name = f"{row['area']}.{row['channel']}.{row['alarm']}"
    figure: Mapping[str, Any] | None = site.figures.get(f"setpoint.{name}")
    if figure is None:
        yield f"the ledger has no setpoint {name}"
        return
    if not _same(row["set to"], figure["printed"]) or not packed(figure["printed"]).endswith(packed(row["unit"])):
        yield f"{name} is set to {row['set to']!r}, but the ledger tells {figure['printed']!r}"
    number = "".join(part for part in packed(figure["text"]).replace("−", "-") if part in "-.0123456789")
    if Fraction(row["set to" + EXACT]) != Fraction(number):
        yield f"{name} is set to exactly {row['set to' + EXACT]!r}, but the ledger prints {figure['text']!r}"
    if not _same(row["action"], site.json("texts.json")["actions"].get(name, "")):
        yield f"the action of {name} is told as {row['action']!r}"
    if not any(_same(row["reason"], part["text"]) for part in figure["inputs"]):
        yield f"the reason of {name} is told as {row['reason']!r}"
    yield from _says(site, site.thing("areas", row["area"]), (row["area name"],))
