"""The register of formulas, and the contract each docstring keeps."""

from __future__ import annotations

import doctest
import inspect
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from builder.base.quantity import UNITS, Quantity, quantity
from builder.figures.formulas import registry
from builder.figures.formulas.gas import molar_volume
from builder.figures.formulas.registry import TOPICS, Formula, all_formulas, formula, formula_of, record_of
from tests.each import each

FORMULAS = [pytest.param(record, id=record.id) for record in all_formulas()]
BRACKETS = re.compile(r"\[([^\]]*)\]")
NO_UNITS = {"interval", "1", "no unit", "text", "date", "yes", "no", "any", "all the same", "the same"}
FIELDS = {"title": "T", "expression": "a = b", "source": "S", "valid": "always", "rounding": "up"}


def described(doc: str) -> dict[str, str]:
    """Parameter name, or ``returns`` -> what the docstring says of it."""
    found = re.findall(r"^:(?:param )?(\w+): (.+)$", doc, flags=re.MULTILINE)
    assert len(found) == len(dict(found))
    return dict(found)


@each("record", FORMULAS)
def test_every_argument_and_the_result_have_a_unit(record: Formula) -> None:
    texts = described(record.function.__doc__ or "")
    assert list(texts) == [*inspect.signature(record.function).parameters, "returns"]
    for name, text in texts.items():
        units = BRACKETS.findall(text)
        assert len(units) == 1, f"{name}: {text}"
        assert all(unit in UNITS or unit in NO_UNITS for unit in re.split(r", | or ", units[0])), f"{name}: {text}"


@each("record", FORMULAS)
def test_docstring_carries_the_whole_record(record: Formula) -> None:
    lines = (record.function.__doc__ or "").splitlines()
    assert f"Formula: {record.expression}" in lines
    assert f"Valid: {record.valid}" in lines
    assert f"Rounds: {record.rounding}" in lines
    assert any(line.startswith(f"Source: {record.source}") for line in lines)
    assert any("recalled, not read" in line for line in lines) is not record.read


@each("record", FORMULAS)
def test_example_runs(record: Formula) -> None:
    module = sys.modules[record.function.__module__]
    tests = doctest.DocTestFinder(recurse=False).find(record.function, globs=dict(vars(module)))
    assert sum(len(test.examples) for test in tests) > 0
    runner = doctest.DocTestRunner(verbose=False)
    for test in tests:
        assert runner.run(test).failed == 0


@each("record", FORMULAS)
def test_id_leads_to_the_function_and_back(record: Formula) -> None:
    assert formula_of(record.id) is record
    assert record_of(record.function).id == record.id


def test_every_topic_has_formulas_and_every_module_is_a_topic() -> None:
    assert {record.id.partition(".")[0] for record in all_formulas()} == set(TOPICS)
    folder = Path(registry.__file__).parent
    assert {path.stem for path in folder.glob("*.py")} == {*TOPICS, "__init__", "registry", "inputs", "trend"}


@pytest.mark.parametrize("path", sorted(Path(registry.__file__).parent.glob("*.py")), ids=lambda path: path.stem)
def test_modules_and_functions_stay_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) < 300


def sample(function: Callable[..., Any] | None = None) -> Callable[..., Any]:
    def twice(value: Quantity) -> Quantity:
        """Twice the value."""
        return value * 2

    chosen = function or twice
    chosen.__module__ = "builder.figures.formulas.sample"
    return chosen


@pytest.fixture
def _scratch(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(registry, "_formulas", dict(registry._formulas))


@pytest.mark.usefixtures("_scratch")
class TestRegistration:
    def test_returns_the_function_itself(self) -> None:
        function = sample()
        assert formula(**FIELDS)(function) is function
        assert record_of(function).id == "sample.twice"

    def test_refuses_an_unknown_field(self) -> None:
        with pytest.raises(TypeError, match="colour"):
            formula(colour="red", **FIELDS)  # type: ignore[call-arg]

    def test_refuses_a_missing_field(self) -> None:
        with pytest.raises(TypeError, match="rounding"):
            formula(**{k: v for k, v in FIELDS.items() if k != "rounding"})  # type: ignore[arg-type]

    @pytest.mark.parametrize("name", FIELDS)
    def test_refuses_an_empty_field(self, name: str) -> None:
        with pytest.raises(ValueError, match=f"^formula 'sample.twice' has an empty {name}$"):
            formula(**{**FIELDS, name: " "})(sample())

    def test_refuses_a_doubled_id(self) -> None:
        formula(**FIELDS)(sample())
        with pytest.raises(ValueError, match=r"^formula id 'sample.twice' is taken by twice$"):
            formula(id="sample.twice", **FIELDS)(sample())

    @pytest.mark.parametrize("bad", ["gas.twice", "twice", "sample.Twice", "sample.twice-", "sample."])
    def test_refuses_an_id_of_another_topic_or_form(self, bad: str) -> None:
        with pytest.raises(ValueError, match=r"allowed: sample\.words-with-hyphens$"):
            formula(id=bad, **FIELDS)(sample())

    def test_refuses_a_function_without_docstring(self) -> None:
        def bare() -> Quantity:
            return quantity(1, "")

        with pytest.raises(ValueError, match=r"^formula 'sample.bare' has no docstring$"):
            formula(id="sample.bare", **FIELDS)(sample(bare))


def test_unknown_id_names_the_nearest() -> None:
    with pytest.raises(LookupError, match=r"no formula has the id 'gas.molar-volum'; nearest: gas.molar-volume"):
        formula_of("gas.molar-volum")


def test_other_functions_have_no_id() -> None:
    with pytest.raises(LookupError, match=r"^sample is no registered formula$"):
        record_of(sample)


def test_help_shows_the_formula() -> None:
    assert "Formula: Vm = R × T / p" in (inspect.getdoc(molar_volume) or "")
