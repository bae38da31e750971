"""Formulas against worked examples and tables from outside; fixtures/README.md gives the form of the cases."""

from __future__ import annotations

import inspect
from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from builder.base.errors import OutOfRangeError
from builder.base.quantity import NUMBER, magnitude, parse_number, parse_quantity, quantity
from builder.base.rounding import plain
from builder.base.where import Given, Where
from builder.figures.formulas.conversion import Conversion
from builder.figures.formulas.registry import all_formulas, formula_of
from builder.program.faults import Faults
from builder.program.interval import Interval, interval_of
from tests.each import each

FIXTURES = Path(__file__).parent / "fixtures"
GROUP_FIELDS = {"formula", "source", "seen", "given", "rows"}
ROW_FIELDS = {"id", "given", "expect", "within", "source"}
SEEN = {"read", "from memory", "by hand"}


def read(name: str) -> list[dict[str, Any]]:
    return yaml.load((FIXTURES / name).read_text(encoding="utf-8"), Loader=yaml.CBaseLoader)  # noqa: S506 - text only


def published() -> list[Any]:
    cases = []
    for path in sorted(FIXTURES.glob("*.yaml")):
        if path.name == "refused.yaml":
            continue
        for group in read(path.name):
            assert set(group) <= GROUP_FIELDS, (path.name, group)
            cases += [pytest.param(group, row, id=f"{group['formula']}: {row['id']}") for row in group["rows"]]
    return cases


def value(text: Any, annotation: str = "") -> Any:
    """An argument or result from the text of a fixture."""
    if isinstance(text, list):
        return [value(part, annotation.removeprefix("Sequence[").removesuffix("]")) for part in text]
    if annotation == "int":
        return int(text)
    if annotation == "str":
        return text
    if annotation == "Interval":
        return every(text)
    if text in ("yes", "no", "none"):
        return {"yes": True, "no": False, "none": None}[text]
    if len(text) == len("2026-11-25") and text[4] == "-":
        return date.fromisoformat(text)
    return quantity(parse_number(text), "") if NUMBER.fullmatch(text) else parse_quantity(text)[0]


def every(text: str) -> Interval:
    """An interval from its text; one that no content may state keeps its count all the same."""
    faults = Faults()
    made = interval_of(Given(text, Where("fixture", 1), text), faults).value
    return replace(made, count=int(text.partition(" ")[0])) if faults.problems else made


def call(formula: str, given: dict[str, Any]) -> Any:
    function = formula_of(formula).function
    kinds = {name: str(parameter.annotation) for name, parameter in inspect.signature(function).parameters.items()}
    found = function(**{name: value(text, kinds.get(name, "")) for name, text in given.items()})
    return found.value if isinstance(found, Conversion) else found


def half_a_digit(text: str) -> Fraction:
    """Half a unit of the last digit a source prints."""
    number = NUMBER.match(text)
    assert number, text
    return Fraction(1, 2 * 10 ** len(number.group().partition(".")[2]))


def assert_close(found: Any, expect: str, within: str | None) -> None:
    if isinstance(found, Interval):
        assert found == every(expect)
        return
    wanted = value(expect)
    if isinstance(wanted, bool | date):
        assert found == wanted
        return
    unit = "" if NUMBER.fullmatch(expect) else parse_quantity(expect)[1]
    apart = abs(magnitude(found, unit) - magnitude(wanted, unit))
    allowed = magnitude(value(within), unit) if within else half_a_digit(expect)
    assert apart <= allowed, f"{plain(magnitude(found, unit))} {unit}, {expect} expected"


@each(("group", "row"), published())
def test_agrees_with_the_source(group: dict[str, Any], row: dict[str, Any]) -> None:
    found = call(group["formula"], {**group.get("given", {}), **row.get("given", {})})
    if isinstance(row["expect"], list):
        assert len(found) == len(row["expect"])
        for part, expect in zip(found, row["expect"], strict=True):
            assert_close(part, expect, row.get("within"))
    else:
        assert_close(found, row["expect"], row.get("within"))


def test_every_formula_has_an_example_from_outside() -> None:
    shown = {case.values[0]["formula"] for case in published()}
    assert [record.id for record in all_formulas() if record.id not in shown] == []


def test_every_case_names_its_source() -> None:
    for group, row in (case.values for case in published()):
        assert set(row) <= ROW_FIELDS
        assert (row.get("source") or group["source"]).strip()
        assert group["seen"] in SEEN


def test_ids_are_unique() -> None:
    ids = [case.id for case in published()]
    assert len(ids) == len(set(ids))


@each("row", [pytest.param(row, id=row["id"]) for row in read("refused.yaml")])
def test_is_refused_in_these_words(row: dict[str, Any]) -> None:
    with pytest.raises(OutOfRangeError) as caught:
        call(row["formula"], row["given"])
    said = str(caught.value)
    assert said.endswith(row["says"]) if row["says"].startswith(";") else said == row["says"]
