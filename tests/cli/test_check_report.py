"""What a check found, for programs. The form of SARIF is asked of its text: OASIS, SARIF Version 2.1.0, 2020-03-27."""

from __future__ import annotations

import json
import shutil
from pathlib import Path, PurePath

import pytest

from builder.base.errors import Problem
from builder.base.where import Where
from builder.cli import run
from builder.publish.check_report import as_sarif

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
AS_OF = ("--as-of", "2026-11-25", "-q")
"""On that day a calibration of the site is overdue: one stop."""


@pytest.fixture
def checked(capsys):
    def ask(form, content=MINIMAL, status=0):
        assert run(["check", "--content", str(content), "--format", form, *AS_OF]) == status
        return json.loads(capsys.readouterr().out)

    return ask


@pytest.fixture
def broken(tmp_path):
    """Two faults, one of them in a line that would steer a terminal."""
    content = tmp_path / "my site"
    shutil.copytree(MINIMAL, content)
    path = content / "areas.yaml"
    path.write_text(path.read_text(encoding="utf-8") + '  colour: "\\e[2J"\n', encoding="utf-8")
    return content


def test_json_has_every_finding_with_its_place(checked):
    said = checked("json")
    assert (said["format"], said["faults"], said["misfits"]) == ("1", [], [])
    [stop] = [finding for finding in said["findings"] if finding["severity"] == "stop"]
    assert (stop["rule"], stop["file"], stop["line"]) == ("check-overdue", "inventory.yaml", 8)
    assert {"note", "warn"} < {finding["severity"] for finding in said["findings"]}, "notes too"


def test_json_has_every_fault_with_its_place(checked, broken):
    said = checked("json", broken, 1)
    assert said["findings"] == []
    [fault] = said["faults"]
    assert fault["file"] == "areas.yaml"
    assert fault["line"] == len((broken / "areas.yaml").read_text(encoding="utf-8").splitlines())
    assert (fault["kind"], fault["column"], fault["caret"]) == ("not-yaml", 3, "^^^^^^")
    assert fault["excerpt"].startswith("colour: ")
    assert "shifted line" in fault["cause"]
    assert "Indent with blanks" in fault["cure"]


def test_sarif_is_a_log_of_one_run(checked):
    """3.13.2: version "2.1.0"; 3.14.6 and 3.18.2: a tool with a driver; 3.19.8: the driver has a name."""
    log = checked("sarif")
    assert log["version"] == "2.1.0"
    [one] = log["runs"]
    driver = one["tool"]["driver"]
    assert driver["name"]
    assert {result["ruleId"] for result in one["results"]} == {rule["id"] for rule in driver["rules"]}, "3.27.5, 3.49.3"


def test_a_stop_is_an_error_and_a_note_is_a_note(checked):
    """3.27.10: error, warning, note or none."""
    levels = {(finding["rule"], finding["severity"]) for finding in checked("json")["findings"]}
    results = {(one["ruleId"], one["level"]) for one in checked("sarif")["runs"][0]["results"]}
    words = {"stop": "error", "warn": "warning", "note": "note"}
    assert results == {(rule, words[severity]) for rule, severity in levels}


def test_places_are_addresses_from_where_the_command_was_called(checked, broken):
    """3.4.3: a URI, so a blank is escaped (RFC 3986, 2.1); 3.30.5: lines count from 1."""
    [result] = checked("sarif", broken, 1)["runs"][0]["results"]
    [location] = result["locations"]
    place = location["physicalLocation"]
    assert place["artifactLocation"]["uri"] == f"{broken.as_posix()}/areas.yaml".replace(" ", "%20")
    assert place["region"]["startLine"] >= 1
    assert place["region"]["startColumn"] == 3, "3.30.6: columns count from 1; two blanks stand before the key"
    assert result["message"]["text"], "3.11.8"


def test_a_fault_is_a_rule_with_its_cause_and_its_cure(checked, broken):
    """3.49.3: an id, stable from run to run; 3.49.11: a full description; 3.49.13: help."""
    [one] = checked("sarif", broken, 1)["runs"]
    [rule] = one["tool"]["driver"]["rules"]
    assert rule["id"] == "not-yaml"
    assert "shifted line" in rule["fullDescription"]["text"]
    assert "Indent with blanks" in rule["help"]["text"]


def test_the_terminal_shows_the_place_the_id_and_the_cure(capsys, broken):
    assert run(["check", "--content", str(broken), *AS_OF]) == 1
    fault, line, caret, *_, cure, count = capsys.readouterr().err.strip().split("\n")
    assert fault.endswith("a line indented unlike the list it stands in [not-yaml]")
    assert line.startswith("    | colour: ")
    assert caret == "    | ^^^^^^"
    assert cure.startswith("[not-yaml] ")
    assert count.startswith("1 fault in the content")


@pytest.mark.parametrize("form", ["json", "sarif"])
def test_nothing_of_the_content_steers_a_terminal(capsys, broken, form):
    run(["check", "--content", str(broken), "--format", form, *AS_OF])
    out = capsys.readouterr().out
    assert out.isascii()
    assert "\x1b" not in out


def test_cards_that_do_not_fit_are_told_and_refused(capsys, monkeypatch):
    class Proof:
        faults = ("card c, front: 2 mm below the safe area",)

    monkeypatch.setattr("builder.pipeline.card_proofs", lambda *_: [Proof()])
    said = ["check", "--content", str(MINIMAL), "--cards", *AS_OF]
    assert run(said) == 1
    assert "misfit: card c, front: 2 mm below the safe area" in capsys.readouterr().out
    assert run([*said, "--format", "json"]) == 1
    assert json.loads(capsys.readouterr().out)["misfits"] == list(Proof.faults)


def test_a_place_in_a_sheet_is_in_its_workbook():
    problem = Problem(Where("records/b.xlsx#May#2:7", 4), "found")
    [result] = json.loads(as_sarif([problem], (), (), PurePath("content")))["runs"][0]["results"]
    place = result["locations"][0]["physicalLocation"]
    assert (place["artifactLocation"]["uri"], place["region"]["startLine"]) == ("content/records/b.xlsx", 4)
