"""A whole site with one fault for every rule: each finding, its line, and nothing else."""

from __future__ import annotations

import csv
import re
from collections import Counter
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
import yaml

from builder.base.finding import Severity
from builder.figures.compute import compute
from builder.findings.order import all_rules, find
from tests.findings.said import FAULTS, SAID, said

if TYPE_CHECKING:
    from collections.abc import Callable

    from builder.base.finding import Finding
    from builder.figures.ledger import Ledger

MARK = re.compile(r"# fault: ([a-z-]+(?:, [a-z-]+)*)$")


def marked_rows(path: Path) -> list[tuple[int, str]]:
    """Line and rule of every row whose note says so; no row spans lines."""
    with path.open(encoding="utf-8", newline="") as stream:
        notes = [row["note"] for row in csv.DictReader(stream)]
    told = [(line, note.removeprefix("fault: ")) for line, note in enumerate(notes, start=2) if note]
    return [(line, rule) for line, rules in told for rule in rules.split(", ")]


def marked() -> Counter[tuple[str, str, int]]:
    """Rule, file and line of every comment."""
    made: Counter[tuple[str, str, int]] = Counter()
    for path in sorted(FAULTS.rglob("*")):
        name = path.relative_to(FAULTS).as_posix()
        if path.suffix == ".csv":
            made.update((rule, name, line) for line, rule in marked_rows(path))
        if path.suffix not in (".yaml", ".md") or path.name == "README.md":
            continue
        for line, text in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            match = MARK.search(text)
            assert match or "fault:" not in text, f"{path.name}:{line}: a comment that cannot be read"
            for rule in match[1].split(", ") if match else ():
                made[rule, name, line] += 1
    return made


@pytest.fixture(name="judged")
def _judged(program_of: Callable) -> tuple[tuple[Finding, ...], Ledger]:
    program = program_of(FAULTS)
    computed = compute(program, date(2026, 11, 25))
    return find(computed), computed.ledger


def difference(found: Counter, wanted: Counter) -> str:
    """What is missing and what is too much, a line each; empty where all is as planted."""
    lines = [f"not found: {rule} at {file}:{line}" for rule, file, line in sorted((wanted - found).elements())]
    lines += [f"not planted: {rule} at {file}:{line}" for rule, file, line in sorted((found - wanted).elements())]
    return "\n".join(lines)


def test_every_marked_line_is_found_and_nothing_else(judged):
    findings, _ = judged
    told = difference(Counter((f.rule, f.where.file, f.where.line) for f in findings), marked())
    assert not told, told


def test_each_is_told_in_the_words_that_were_read_beside_it(judged):
    findings, ledger = judged
    told, read = sorted(said(findings, ledger)), yaml.load(SAID.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    assert told == read, (
        "python -m tests.findings.said tests/findings/said.yaml writes them anew; read each line that changes"
    )


def test_a_difference_names_rule_file_and_line():
    one, two = ("hose-too-long", "areas.yaml", 3), ("lel-basis", "cylinders.yaml", 7)
    told = difference(Counter([two, two]), Counter([one, two]))
    assert told == "not found: hose-too-long at areas.yaml:3\nnot planted: lel-basis at cylinders.yaml:7"


def test_every_rule_has_its_fault():
    apart = {  # what would take more than a line of a whole site: see test_records.py and test_carried.py
        "records-end-early",
        "set-sees-less",
        "no-unit-for-set",
        "hose-too-short",
        "unit-without-plan",
        "toxic-on-other-channel",
        "used-in-forbidden-state",
        "sensor-serial-twice",
        "settings-read-long-ago",
        # what takes rows of movements: see test_movements.py
        "movements-do-not-meet",
        "back-without-check",
        "hired-without-certificate",
        "certificate-expired",
        "unit-in-wrong-area",
        "cylinder-wrong",
        # settings on record: see test_settings_on_record.py
        "setting-not-known",
        "settings-not-reset",
        # what takes a calendar, a language or a slip: see test_plausible.py
        "done-in-future",
        "reading-beyond-scale",
        "time-of-another-zone",
        "action-of-another",
        # guard rails: see test_guard_rails.py
        "flammable-alarm-late",
        "oxygen-alarm-outside",
        "danger-to-life-as-target",
        "average-over-long-shift",
        "alarms-too-close",
        "interval-too-long",
        "window-too-wide",
        "alarm-time-too-long",
        # edits of the demo: see test_edits.py
        "cylinder-empty",
        "window-missing",
        "methane-unproved",
        # what takes a folder that is extended: see test_extended.py
        "less-safe-than-extended",
        "taken-out",
        # what takes a revision: see test_terms.py
        "cards-outlived",
    }
    planted = {rule for rule, _, _ in marked()}
    asked = {entry.id for entry in all_rules()} - apart
    assert planted == asked, f"without a planted fault: {sorted(asked - planted)}; no rule: {sorted(planted - asked)}"


def test_the_gravest_weight_that_a_rule_declares_is_shown_by_its_fault(judged):
    findings, _ = judged
    gravest: dict[str, Severity] = {}
    for finding in findings:  # the gravest come first
        gravest.setdefault(finding.rule, finding.severity)
    # gravest: test_carried.py, test_guard_rails.py, test_not_known.py, test_check_gas_paths.py, test_stations.py,
    # test_check_gas.py, test_records.py
    elsewhere = {
        "record-pass-outside-window",
        "toxic-by-lel-only",
        "limit-not-kept",
        "not-on-record",
        "gas-time-short",
        "station-log",
        "bump-ratio",
    }
    wanted = {entry.id: entry.severities[0] for entry in all_rules() if entry.id in gravest}
    gravest |= {rule: wanted[rule] for rule in elsewhere if rule in wanted}
    assert gravest == wanted


def test_findings_stand_in_order_of_weight_then_place(judged):
    findings, _ = judged
    places = [(f.severity.rank, f.where.file, f.where.line, f.rule) for f in findings]
    assert places == sorted(places)
    assert {f.severity for f in findings} == set(Severity)


def test_every_finding_can_be_acted_on(judged):
    findings, ledger = judged
    for finding in findings:
        assert finding.message.endswith("."), finding
        assert finding.mend, finding
        assert finding.source, finding
        assert re.fullmatch(r"(area|card|cylinder|gas|unit|sensor|model|procedure|page):[a-z0-9-]+", finding.subject), (
            finding
        )
        assert all(key in ledger.figures for key in finding.figures), finding


def test_message_prints_figures(judged):
    findings, ledger = judged
    low = next(f for f in findings if f.rule == "alarm-above-limit" and f.severity is Severity.STOP)
    assert low.figures == ("setpoint.pit.flammable.low", "setpoint.pit.methane.low.true", "limit.pit.flammable")
    assert all(ledger[key].printed in low.message for key in low.figures)
    assert low.message == (
        "Pit: the 1st alarm of flammable gas is set to 11\u00a0%LEL and sounds at 11\u00a0%LEL of Methane, "
        "which lies beyond the limit, >\u00a010\u00a0%LEL."
    )
