from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from types import SimpleNamespace

import pytest

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.compute import compute
from builder.figures.ledger import Ledger
from builder.findings import order, rules
from builder.findings.order import RULES, find, registered

SOUND = Path(__file__).parent / "sound"


def test_a_doubled_id_is_refused():
    with pytest.raises(ValueError, match="rule hazard-unseen is registered twice"):
        registered([*RULES, RULES[0]])


def test_every_rule_file_is_listed_once_under_its_own_name():
    files = {path.stem for path in Path(rules.__path__[0]).glob("*.py")} - {"__init__"}
    assert sorted(name.replace("_", "-") for name in files) == sorted(entry.ID for entry in RULES)
    assert all(entry.__name__.rpartition(".")[2].replace("_", "-") == entry.ID for entry in RULES)


@pytest.mark.parametrize("entry", RULES, ids=lambda entry: entry.ID)
def test_every_rule_says_its_source(entry):
    assert "Source: " in (entry.__doc__ or "")


def test_a_finding_under_another_id_is_a_fault_of_the_builder(monkeypatch, program_of, as_of):
    stray = Finding(rule="other", severity=Severity.NOTE, message=".", where=Where("x", 1))
    entry = SimpleNamespace(ID="mine", rule=lambda _program, _ledger: iter([stray]))
    monkeypatch.setattr(order, "RULES", (entry,))
    program = program_of(SOUND)
    with pytest.raises(ValueError, match="rule mine made a finding of other"):
        find(program, compute(program, as_of))


def test_what_the_ledger_says_is_there_is_what_counts(program_of, as_of):
    program = program_of(SOUND)
    ledger = compute(program, as_of)
    key = "setpoint.pit.methane.low.true"
    figures = {**ledger.figures, key: replace(ledger[key], exact=Fraction(11))}
    findings = find(program, Ledger(figures=figures, aliases=ledger.aliases, names=ledger.names))
    assert [(f.rule, f.severity) for f in findings] == [("alarm-above-limit", Severity.STOP)]


def test_missing_figures_do_not_stop_the_rules(program_of, as_of):
    faults = program_of(SOUND.parent.parent / "sites" / "faults")
    day = compute(faults, as_of)["handbook.as-of"]
    found = {f.rule for f in find(faults, Ledger(figures={day.key: day}, aliases={}, names={}))}
    assert {"hazard-unseen", "cylinder-expired", "check-overdue", "hose-too-long", "label-mismatch"} <= found
