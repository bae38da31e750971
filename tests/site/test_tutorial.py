"""The tutorial, done word for word, each command in turn."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

from builder.cli import run
from tests.starters.test_starters import signed

TUTORIAL = Path(__file__).parent.parent.parent / "docs" / "tutorial.md"


def commands() -> list[list[str]]:
    blocks = re.findall(r"```sh\n(.*?)```", TUTORIAL.read_text(encoding="utf-8"), re.DOTALL)
    return [shlex.split(line)[1:] for block in blocks for line in block.splitlines()]


def test_a_first_handbook_is_made_and_released(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795860000")  # 28 November 2026
    start, card, check, build, release = commands()
    assert run(start) == 0
    assert run(card) == 0
    assert (tmp_path / "my-cards" / "wet-well-entrant.pdf").read_bytes().startswith(b"%PDF")
    assert run(check) == 0
    assert "default-not-confirmed" not in capsys.readouterr().out, "rules are told in words"
    assert run(build) == 0
    assert (tmp_path / "my-handbook" / "cards" / "wet-well-entrant.pdf").is_file()
    assert run(release) == 1, "nobody has stood for it yet"
    assert "Nobody at this site has confirmed" in capsys.readouterr().err
    signed(tmp_path / "my-site")
    assert run(release) == 0
    assert (tmp_path / "my-handbook" / "revisions" / "1").is_dir()
