"""Completion in a shell, asked as the shell asks (the protocol is click's)."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

README = Path(__file__).parents[2] / "README.md"
COMMAND = Path(sys.executable).with_name("handbook")


def asked(words, place, how="bash_complete"):
    more = {"COMP_WORDS": words, "COMP_CWORD": str(place), "_HANDBOOK_COMPLETE": how}
    done = subprocess.run([COMMAND], env={**os.environ, **more}, capture_output=True, text=True, timeout=60, check=True)
    return done.stdout


@pytest.mark.parametrize(
    ("words", "place", "offered"),
    [
        ("handbook bu", 1, "plain,build"),
        ("handbook build --con", 2, "plain,--content"),
        ("handbook start x --paper L", 4, "plain,Letter"),
    ],
)
def test_commands_options_and_choices_are_completed(words, place, offered):
    assert asked(words, place).splitlines() == [offered]


def test_the_readme_says_how_for_each_shell():
    told = re.findall(r"_HANDBOOK_COMPLETE=(\w+)_source", README.read_text(encoding="utf-8"))
    assert sorted(told) == ["bash", "fish", "zsh"]
    for shell in told:
        assert "_HANDBOOK_COMPLETE" in asked("", 0, f"{shell}_source")
