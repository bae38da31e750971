"""The guides, done word for word on a starter: what is added and replaced, and each command that lays nothing out."""

from __future__ import annotations

import re
import shlex
from datetime import date
from pathlib import Path

import pytest

from builder.cli import run
from builder.starters.trades import BY_ID
from tests.cli.test_document import BY_NAME
from tests.starters.test_starters import written

GUIDES = (Path(__file__).parent.parent.parent / "docs" / "guides.md").read_text(encoding="utf-8")
PARTS = {part.partition("\n")[0]: part for part in GUIDES.split("\n## ")[1:]}
BLOCK = re.compile(r"```(\w+) ?([\w./-]*)\n(.*?)```", re.DOTALL)
QUICK = ("check", "trace", "gas")
"""Commands that lay nothing out."""
SAYS = {
    "A new gas": "hazard",
    "Another language on cards": "No Spanish text for",
    "Change a setpoint and print anew": "3 ppm",
    "A new area": "setpoint.grit-channel.hydrogen-sulfide.low",
}


def replaced(path: Path, text: str) -> None:
    """Exchange the lines marked ``-`` for those marked ``+``."""
    lines = text.splitlines()
    old = "\n".join(line[1:] for line in lines if line.startswith("-"))
    new = "\n".join(line[1:] for line in lines if line.startswith("+"))
    before = path.read_text(encoding="utf-8")
    assert before.count(f"{old}\n") == 1, (path.name, old)
    path.write_text(before.replace(f"{old}\n", f"{new}\n"), encoding="utf-8")


@pytest.mark.parametrize("part", PARTS)
def test_a_guide_can_be_followed(part, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795860000")  # 28 November 2026
    content = written(tmp_path / "my-site", "water", place=BY_ID["water"].place, day=date(2026, 11, 28))
    said = ""
    for form, name, text in BLOCK.findall(PARTS[part]):
        if form == "yaml":
            with (content / name).open("a", encoding="utf-8") as stream:
                stream.write(text)
        elif form == "diff":
            replaced(content / name, text)
        elif form == "sh":
            for line in text.splitlines():
                _, command, *arguments = shlex.split(line.partition(" > ")[0])
                assert command in BY_NAME
                if command in QUICK and "--release" not in arguments:
                    assert run([command, *arguments]) == 0, capsys.readouterr().err
                    said += capsys.readouterr().out
    assert SAYS.get(part, "") in said
