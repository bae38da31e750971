"""Commands as a user meets them: help, trace, check, exit status."""

from __future__ import annotations

import shutil

import pytest

from builder.cli import run
from builder.cli.main import handbook

from pathlib import Path

MINIMAL = Path(__file__).parent.parent / "sites" / "minimal"
AS_OF = ("--as-of", "2026-11-25")


@pytest.mark.parametrize("name", sorted(handbook.commands))
def test_every_command_has_help_with_examples(capsys, name):
    assert run([name, "--help"]) == 0
    out = capsys.readouterr().out
    assert "Examples:" in out
    assert f"handbook {name}" in out


def test_help_is_quick_to_load():
    """Heavy libraries are loaded at first need only."""
    import subprocess
    import sys

    code = "import sys; from builder.cli import run; run(['--help']); " \
           "print([m for m in ('pint', 'weasyprint', 'jinja2', 'yaml', 'markdown_it', 'rich') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                          cwd=Path(__file__).parent.parent.parent)
    assert done.stdout.splitlines()[-1] == "[]"


def test_trace_prints_the_derivation_down_to_content_and_tables(capsys):
    assert run(["trace", "setpoint.pit.ch4.low", "--content", str(MINIMAL), *AS_OF]) == 0
    out = capsys.readouterr().out
    assert out.startswith("setpoint.pit.flammable.low = ") or "setpoint.pit.flammable.low = " in out.splitlines()[0]
    assert "[setpoints.yaml:" in out


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


def test_quiet_says_nothing_when_all_is_well(capsys):
    assert run(["check", "--content", str(MINIMAL), *AS_OF, "--quiet"]) == 0
    captured = capsys.readouterr()
    assert (captured.out, captured.err) == ("", "")
