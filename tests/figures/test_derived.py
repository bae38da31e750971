"""A derivation tells what its formula was really asked: no arithmetic beside formulas, every argument by its name."""

from __future__ import annotations

import ast
from datetime import date
from pathlib import Path

import pytest

from builder.base.quantity import quantity
from builder.figures import topics
from builder.figures.figure import EXACT, PRINTED
from builder.figures.formulas import response, sampling
from builder.figures.formulas.registry import formula_of
from builder.figures.ledger import LedgerBuilder
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart, wait
from builder.figures.terms import as_set, constant, exactly
from tests.each import each

TOPICS = sorted(Path(topics.__file__).parent.glob("*.py"))
ARITHMETIC = (ast.Add, ast.Sub, ast.Mult, ast.Div, ast.FloorDiv, ast.Mod, ast.Pow, ast.MatMult)
CALLS = {"sum", "round", "divmod", "pow", "timedelta"}


def sums(path):
    """Each sum, product or difference of a module, and each call that makes one; also of texts and lists, which have
    other ways to be joined."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.BinOp) and isinstance(node.op, ARITHMETIC):
            yield node.lineno, ast.unparse(node)
        if isinstance(node, ast.AugAssign) and not isinstance(node.value, ast.List | ast.ListComp | ast.GeneratorExp):
            yield node.lineno, ast.unparse(node)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS:
            yield node.lineno, ast.unparse(node)


@each("path", TOPICS, ids=lambda path: path.stem)
def test_topics_do_no_arithmetic(path):
    assert list(sums(path)) == []


def test_sums_are_found(tmp_path):
    file = tmp_path / "made.py"
    file.write_text("a = b * 2\nc -= 1\nd = sum(e)\nf += [1]\ng = max(h, 1)\n")
    assert sorted(line for line, _ in sums(file)) == [1, 2, 3]


def test_every_argument_is_recorded_by_its_name(any_ledger):
    """Each argument that a formula needs is there, none that it has not, one value each unless it is a list."""
    for figure in any_ledger:
        known = {parameter.name: parameter for parameter in formula_of(figure.formula).parameters}
        told = [part.parameter for part in figure.inputs if part.parameter]
        needed = {name for name, one in known.items() if not (one.optional or one.many)}
        assert needed <= set(told) <= set(known), figure.key
        assert all(told.count(name) == 1 or known[name].many for name in told), figure.key


def test_every_argument_says_how_it_was_taken(any_ledger):
    for figure in any_ledger:
        for part in figure.inputs:
            if part.figure and part.parameter:
                assert part.taken in (EXACT, PRINTED), figure.key
                assert part.value is None
            else:
                assert part.taken == "", figure.key
            if not part.parameter:
                assert part.value is None, figure.key


def test_what_is_shown_for_comparison_is_no_argument(any_ledger):
    compared = [(one, part) for one in any_ledger for part in one.inputs if not part.decides]
    for one, part in compared:
        assert not part.parameter or one.formula == "origin.strictest-rule", (one.key, part.label)


@pytest.fixture(name="recorder")
def _recorder():
    return FigureRecorder(program=None, ledger=LedgerBuilder({}), as_of=date(2026, 11, 25))


def number(value, unit, label="given"):
    return constant(label, quantity(value, unit), f"{value} {unit}", source="made up")


def test_the_formula_itself_is_asked(recorder):
    made = recorder.derived(
        "a", "A", "%LEL", chart(), response.true_value, number(10, "%LEL", "reading"), number(2, "", "factor")
    )
    assert (made.exact, made.text, made.formula) == (20, "20.0", "response.true-value")
    assert [(part.parameter, part.label) for part in made.inputs] == [("reading", "reading"), ("factor", "factor")]


def test_a_figure_is_taken_exact_or_as_it_is_set(recorder):
    """A wait of 12.3 s is waited as 13 s, so the way down behind the hose is slower by 12.3 / 13."""
    waited = recorder.derived(
        "wait", "W", "s", wait(1), sampling.wait_time, number("2.3", "s", "draw"), number("10", "s", "t90")
    )
    assert (str(waited.exact), waited.text) == ("123/10", "13")
    taken = [
        recorder.derived(key, "D", "m/s", chart(), sampling.descent_speed, term)
        for key, term in (("exact", exactly(waited)), ("set", as_set(waited)))
    ]
    assert [part.taken for one in taken for part in one.inputs] == ["exact", "printed"]
    assert taken[0].exact / taken[1].exact == quantity("13", "").magnitude / quantity("12.3", "").magnitude


def test_too_many_arguments_are_a_fault_of_the_builder(recorder):
    terms = [number(1, "s")] * 3
    with pytest.raises(TypeError, match=r"^sampling.descent-speed has 1 arguments, not 3$"):
        recorder.derived("a", "A", "m/s", chart(), sampling.descent_speed, *terms)
