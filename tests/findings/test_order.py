from __future__ import annotations

import ast
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.compute import compute
from builder.figures.ledger import Ledger
from builder.findings import rules
from builder.findings.order import all_rules, find
from builder.findings.rule import Rule
from builder.findings.wording import COMMON_PRACTICE
from tests.each import each
from tests.findings.conftest import SINGLE
from tests.shared import computed_with

SOUND = Path(__file__).parent / "sound"


def test_every_rule_of_every_file_is_asked_once_under_its_own_name():
    texts = [path.read_text(encoding="utf-8") for path in Path(rules.__path__[0]).glob("*.py")]
    names = [name for text in texts for name in re.findall(r"^@rule\(.*\)\ndef (\w+)\(", text, re.MULTILINE)]
    assert len(names) == sum(text.count("@rule(") for text in texts)
    assert [entry.id for entry in all_rules()] == sorted(name.replace("_", "-") for name in names)


@each("entry", all_rules(), ids=lambda entry: entry.id)
def test_every_rule_declares_its_weights_the_gravest_first(entry):
    ranks = [severity.rank for severity in entry.severities]
    assert ranks
    assert ranks == sorted(set(ranks))


@each("entry", all_rules(), ids=lambda entry: entry.id)
def test_every_rule_says_its_source(entry):
    assert "Source: " in " ".join(entry.words.split())


def test_a_rule_whose_findings_name_no_source_says_that_it_is_practice():
    words = {entry.ask.__name__: entry.words for entry in all_rules() if entry.source == COMMON_PRACTICE}
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in Path(rules.__path__[0]).glob("*.py")]
    calls = [node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Call)]
    found = [
        call
        for call in calls
        if isinstance(call.func, ast.Attribute) and call.func.attr in ("found", "of_row", "of_alarms")
    ]
    unnamed = {ast.unparse(call.func.value) for call in found if "source" not in {each.arg for each in call.keywords}}
    assert unnamed & words.keys()
    assert [name for name in sorted(unnamed & words.keys()) if "practice" not in words[name]] == []


@pytest.mark.parametrize(
    ("stray", "told"),
    [
        (Finding(rule="other", severity=Severity.NOTE, message=".", where=Where("x", 1)), "a finding of other"),
        (Finding(rule="mine", severity=Severity.STOP, message=".", where=Where("x", 1)), "a finding of mine, a stop"),
    ],
)
def test_a_finding_that_its_rule_does_not_declare_is_a_fault_of_the_builder(stray, told, program_of, as_of):
    entry = Rule(id="mine", severities=(Severity.NOTE,), words="", acceptable=False, ask=lambda _: iter([stray]))
    with pytest.raises(ValueError, match=f"rule mine made {told}"):
        find(compute(program_of(SOUND), as_of), [entry])


def test_what_the_ledger_says_is_there_is_what_counts(program_of, as_of):
    program = program_of(SOUND)
    ledger = compute(program, as_of).ledger
    key = "setpoint.pit.methane.low.true"
    figures = {**ledger.figures, key: replace(ledger[key], exact=Fraction(11))}
    findings = find(computed_with(program, Ledger(figures=figures, aliases=ledger.aliases, names=ledger.names)), SINGLE)
    assert [(f.rule, f.severity) for f in findings] == [("alarm-above-limit", Severity.STOP)]


def test_missing_figures_do_not_stop_the_rules(program_of, as_of):
    faults = program_of(SOUND.parent.parent / "sites" / "faults")
    day = compute(faults, as_of).ledger["handbook.as-of"]
    found = {f.rule for f in find(computed_with(faults, Ledger(figures={day.key: day}, aliases={}, names={})))}
    assert {"hazard-unseen", "cylinder-expired", "check-overdue", "hose-too-long", "label-mismatch"} <= found
