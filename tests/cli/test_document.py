"""The page of commands is what their help says, and their examples can be typed."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

from builder.cli.document import commands_document, parts_of
from builder.cli.main import COMMANDS, handbook
from tests.each import each

DOCS = Path(__file__).parent.parent.parent / "docs" / "commands.md"
BY_NAME = {name: handbook.get_command(click.Context(handbook), name) for name in COMMANDS}
EXAMPLES = [(name, call) for name, command in BY_NAME.items() for call in parts_of(command)[1]]
TYPED = re.compile(r"^\s*(?:\.venv/bin/)?(handbook (?:[^#\n\\]|\\\n)+)", re.MULTILINE)
"""A call in a block of Markdown, without its remark, on one line or several."""
PAGES = ("README.md", "docs/many-sites.md", "docs/tutorial.md", "docs/guides.md")


def test_the_page_is_what_the_commands_say():
    assert DOCS.read_text(encoding="utf-8") == commands_document(), (
        "docs/commands.md is out of date; write it with: python -m builder.cli.document docs/commands.md"
    )


@each("name", COMMANDS)
def test_every_command_says_what_it_does_and_shows_a_call(name):
    said, examples = parts_of(BY_NAME[name])
    assert said.endswith(".")
    assert examples
    assert [
        option.name for option in BY_NAME[name].params if isinstance(option, click.Option) and not option.help
    ] == []


@pytest.mark.parametrize(("name", "call"), EXAMPLES, ids=lambda value: value.splitlines()[0])
def test_every_example_is_a_call_that_the_command_takes(name, call, monkeypatch):
    taken(name, call, monkeypatch)


@pytest.mark.parametrize("page", PAGES)
def test_every_call_on_a_page_is_one_that_its_command_takes(page, monkeypatch):
    shown = re.findall(r"```sh\n(.*?)```", (DOCS.parent.parent / page).read_text(encoding="utf-8"), re.DOTALL)
    calls = [call.partition(" || ")[0] for block in shown for call in TYPED.findall(block)]
    assert calls
    for call in calls:
        taken(call.split()[1], call, monkeypatch)


def taken(name, call, monkeypatch):
    """Refuse a call that its command does not take; nothing is run."""
    monkeypatch.setattr(
        click.Path, "convert", lambda _self, value, _parameter, _context: value
    )  # such folders are not here
    program, command, *arguments = shlex.split(call.replace("\\\n", " ").partition(" > ")[0])
    assert (program, command) == ("handbook", name)
    assert BY_NAME[name].make_context(name, arguments).params
