"""Commands as a user meets them: help, trace, check, exit status."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from builder.base.errors import FitError
from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.cli import run
from builder.cli.main import COMMANDS, handbook, heed_signals
from builder.cli.telling import show_findings
from tests.each import each

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
"""A small site with one stop on that day: a calibration overdue since 30 Sep 2026."""
SOUND = Path(__file__).parent.parent / "findings" / "sound"
AS_OF = ("--as-of", "2026-11-25")


@each("name", sorted(COMMANDS))
def test_every_command_has_help_with_examples(capsys, name):
    assert run([name, "--help"]) == 0
    out = capsys.readouterr().out
    assert "Examples:" in out
    assert f"handbook {name}" in out


@pytest.mark.parametrize("arguments", [[], *([name] for name in sorted(COMMANDS))], ids=" ".join)
def test_every_example_stands_on_a_line_of_its_own(capsys, arguments):
    assert run([*arguments, "--help"]) == 0
    out = capsys.readouterr().out
    assert "\\b" not in out
    assert "\b" not in out
    lines = [line.strip() for line in out.splitlines()]
    examples = lines[lines.index("Examples:") + 1 :]
    examples = examples[: examples.index("")]
    begun = [line for at, line in enumerate(examples) if at == 0 or not examples[at - 1].endswith("\\")]
    start = " ".join(["handbook", *arguments])
    assert len(begun) >= 1
    assert [line for line in begun if not line.startswith(start) or line.count(start) > 1] == []


def test_help_is_quick_to_load():
    """Heavy libraries are loaded at first need only."""
    code = (
        "import sys; from builder.cli import run; run(['--help']); "
        "print([m for m in ('pint', 'weasyprint', 'jinja2', 'yaml', 'markdown_it', 'rich') if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parent.parent.parent,
    )
    assert done.stdout.splitlines()[-1] == "[]"


@each(("name", "told"), [(name, told) for name, (_, told) in COMMANDS.items()])
def test_the_list_of_commands_says_of_each_what_its_own_help_begins_with(name, told):
    own = " ".join(handbook.get_command(None, name).help.split("\n\n")[0].split())
    assert own.startswith(told.removesuffix("."))


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_ends_the_command_with_its_own_status(number, monkeypatch, capsys):
    """As shells have it: 128 and the number of the signal."""
    before = signal.getsignal(number)
    heed_signals()
    try:
        monkeypatch.setattr("builder.publish.unchanged.request_key", lambda *_, **__: os.kill(os.getpid(), number))
        assert run(["build", "--content", str(MINIMAL)]) == 128 + number
    finally:
        signal.signal(number, before)
    assert "stopped" in capsys.readouterr().err


def test_what_does_not_fit_is_told_with_a_cure(monkeypatch, capsys):
    def misfit(*_, **__):
        raise FitError(["card a, front: 3 mm below the safe area"])

    monkeypatch.setattr("builder.publish.unchanged.request_key", misfit)
    assert run(["build", "--content", str(MINIMAL)]) == 1
    told, cure = capsys.readouterr().err.splitlines()
    assert told == "card a, front: 3 mm below the safe area"
    assert "a larger format; `handbook card ID` shows" in cure
    assert "what was published before is untouched" in cure


def test_trace_prints_the_derivation_down_to_content_and_tables(capsys):
    assert run(["trace", "setpoint.pit.ch4.low", "--content", str(MINIMAL), *AS_OF]) == 0
    out = capsys.readouterr().out
    assert out.startswith("setpoint.pit.flammable.low = 2\N{NO-BREAK SPACE}%LEL ")  # by hand: 5 %LEL / 1.9 = 2.63, down
    assert "[setpoints.yaml:" in out


def test_trace_says_which_figure_went_in_as_printed(capsys):
    """By hand: 25 %LEL of gas are 5.00 times an alarm set to 5 %LEL, and 4.75 times the exact 100/19 behind it."""
    assert run(["trace", "bump.c-001.cat-flammable.high.ratio", "--content", str(MINIMAL), *AS_OF]) == 0
    out = capsys.readouterr().out.replace("\N{NO-BREAK SPACE}", " ")
    assert out.startswith("bump.c-001.cat-flammable.high.ratio = 5.00 ")
    assert "setpoint.pit.flammable.high = 5 %LEL, as printed " in out
    assert "window.c-001.cat-flammable.bump-test.expected = 25 %LEL   " in out


def test_a_second_trace_computes_nothing_and_another_line_is_computed_anew(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("HANDBOOK_CACHE", str(tmp_path / "kept"))
    content = tmp_path / "content"
    shutil.copytree(MINIMAL, content)
    asked = ["trace", "setpoint.pit.ch4.low", "--content", str(content), *AS_OF]
    assert run(asked) == 0
    first = capsys.readouterr().out
    with monkeypatch.context() as patched:
        patched.setattr("builder.figures.of_content.ledger_of", None)
        assert run(asked) == 0
    assert capsys.readouterr().out == first
    max((tmp_path / "kept").rglob("*"), key=lambda path: path.stat().st_size * path.is_file()).unlink()
    assert run(asked) == 0
    assert capsys.readouterr().out == first, "a part that is gone is made anew"
    path = content / "setpoints.yaml"
    path.write_text("# a line above\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    assert run(asked) == 0
    assert capsys.readouterr().out != first, "every line moved"


def test_a_trace_computes_no_more_than_it_needs_and_says_the_same(tmp_path, monkeypatch, capsys):
    def traced(key, folder):
        monkeypatch.setenv("HANDBOOK_CACHE", str(tmp_path / folder))
        status = run(["trace", key, "--content", str(MINIMAL), *AS_OF])
        told = capsys.readouterr()
        return status, told.out, told.err

    early, late, other = "gas.methane.lel", "unit.d-001.bump-test.due", "setpoint.pit.ch4.low"
    whole = {key: traced(key, "whole") for key in (late, early, other, "gas.methane.lell")}
    assert [status for status, *_ in whole.values()] == [0, 0, 0, 1]
    with monkeypatch.context() as patched:
        patched.setattr("builder.figures.compute.read_logbook", None)
        assert traced(early, "kept") == whole[early], "records decide nothing about a gas"
        patched.setattr("builder.figures.of_content.ledger_of", None)
        assert traced(early, "kept") == whole[early], "what was computed is kept"
    for key in ("gas.methane.lell", other, late, early):
        assert traced(key, "kept") == whole[key]


def test_many_findings_of_one_rule_are_counted_after_the_first_few(capsys):
    place = Where("inventory.yaml", 1)

    def found(rule, unit):
        return Finding(rule=rule, severity=Severity.STOP, message=f"{unit} is overdue.", where=place)

    findings = [found("check-overdue", f"d-{n}") for n in range(7)] + [found("lamp-too-weak", "d-9")]
    show_findings(findings, Path("site"), notes=False, most=5)
    told = capsys.readouterr().out.splitlines()
    assert [line for line in told if "is overdue." in line] == [
        f"stop: site/inventory.yaml:1: {unit} is overdue." for unit in ("d-0", "d-1", "d-2", "d-3", "d-4", "d-9")
    ]
    assert told[-1] == "2 more of check-overdue: see findings.html, or `handbook check`"


def test_a_cure_and_a_source_that_several_findings_share_are_told_once_below_the_last(capsys):
    def found(rule, line, mend):
        where = Where("a.yaml", line)
        return Finding(rule=rule, severity=Severity.STOP, message="m", where=where, mend=mend, source="s")

    findings = [found("first", 1, "one"), found("other", 2, "two"), found("first", 3, "one"), found("first", 4, "more")]
    show_findings(findings, Path("site"), notes=False)
    assert capsys.readouterr().out.splitlines() == [
        "stop: site/a.yaml:1: m", "stop: site/a.yaml:3: m", "    cure: one", "stop: site/a.yaml:4: m",
        "    cure: more", "    source: s", "stop: site/a.yaml:2: m", "    cure: two", "    source: s",
    ]  # fmt: skip


def test_trace_into_a_file_keeps_whole_lines(capsys):
    assert run(["trace", "setpoint.pit.ch4.low", "--content", str(MINIMAL), *AS_OF]) == 0
    reason = "Bottled gas reads too low on a display scaled in methane, so both are worked back."
    assert f"├── reason: {reason}  [setpoints.yaml:4]" in capsys.readouterr().out.splitlines()


def test_trace_of_an_unknown_key_names_the_nearest(capsys):
    assert run(["trace", "gas.methane.lell", "--content", str(MINIMAL), *AS_OF]) == 1
    err = capsys.readouterr().err
    assert "no figure has the key 'gas.methane.lell'" in err
    assert "gas.methane.lel" in err.partition("nearest:")[2]


def test_a_date_that_is_none_is_wrong_usage(capsys):
    assert run(["check", "--content", str(MINIMAL), "--as-of", "2026-13-01"]) == 2
    assert "'2026-13-01' is no date; allowed: YYYY-MM-DD" in capsys.readouterr().err


def test_faults_show_file_line_text_allowed_and_nearest(capsys, tmp_path):
    content = tmp_path / "content"
    shutil.copytree(MINIMAL, content)
    path = content / "models.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("alarm-fires", "alarm-fire"), encoding="utf-8")
    assert run(["check", "--content", str(content), *AS_OF, "--quiet"]) == 1
    err = capsys.readouterr().err
    assert "models.yaml:" in err
    assert "unknown key 'alarm-fire' in model" in err
    assert "nearest: alarm-fires" in err
    assert "nothing was built, what was published is untouched" in err


def test_a_stop_refuses_a_release_and_shows_the_line_to_mend(capsys, tmp_path):
    out = tmp_path / "site"
    assert run(["build", "--content", str(MINIMAL), "--out", str(out), *AS_OF, "--release", "--quiet"]) == 1
    err = capsys.readouterr().err
    assert "1 stop finding(s), so nothing is released" in err
    assert "inventory.yaml:8: Calibration of 1 unit in use was due: d-001" in err
    assert not out.exists()


def test_check_tells_of_a_stop_and_only_a_release_fails_on_it(capsys):
    assert run(["check", "--content", str(MINIMAL), *AS_OF]) == 0
    assert "1 stop" in capsys.readouterr().out
    assert run(["check", "--content", str(MINIMAL), *AS_OF, "--release"]) == 1


def test_quiet_says_nothing_when_all_is_well(capsys, tmp_path):
    content = shutil.copytree(SOUND, tmp_path / "content")
    areas = content / "areas.yaml"
    text = areas.read_text(encoding="utf-8")
    assert "[confined-space-entry]" in text
    text = text.replace("[confined-space-entry]", "[inspection]").replace("risk: both", "risk: deficiency")
    areas.write_text(text, encoding="utf-8")
    checks = content / "checks.yaml"
    text = checks.read_text(encoding="utf-8")
    checks.write_text(
        text.replace("    gas-time: 60 s", "    gas-time: 60 s\n    alarms-within: 30 s"), encoding="utf-8"
    )
    (content / "records").mkdir()
    rows = (
        "unit,time,kind,sensor,cylinder,as-found,as-left,seconds,result,by,note",
        "d-1,2026-10-01T06:00+00:00,calibration,bead,c-1,50,50,,pass,mo,",
        "d-1,2026-10-01T06:00+00:00,calibration,oxygen-cell,c-1,18,18,,pass,mo,",
        "d-1,2026-10-01T06:00+00:00,calibration,sulfide-cell,c-1,25,25,,pass,mo,",
        "d-2,2026-10-02T06:00+00:00,calibration,lamp,c-2,100,100,,pass,mo,",
        "d-2,2026-10-02T06:00+00:00,calibration,oxygen-cell,c-2,18,18,,pass,mo,",
        "d-1,2026-11-20T05:00+00:00,flow-block,,,,,,pass,mo,",
        "d-1,2026-11-20T06:00+00:00,bump-test,,c-1,,,,pass,mo,",
        "d-2,2026-11-20T06:00+00:00,bump-test,,c-2,,,,pass,mo,",
        "d-1,2026-11-20T07:00+00:00,use,,,,,,,mo,",
    )
    (content / "records" / "rounds.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    assert run(["check", "--content", str(content), *AS_OF, "--quiet"]) == 0
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == ("", "")
