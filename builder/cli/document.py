"""``docs/commands.md``, written from the help of the commands: ``python -m builder.cli.document docs/commands.md``."""

import sys
from inspect import cleandoc
from pathlib import Path
from textwrap import dedent

import click

from builder.cli.main import DONE, KEPT, STOPPED, USAGE, WRONG, handbook

HEAD = f"""# Commands

Written by `python -m builder.cli.document docs/commands.md` from what `handbook COMMAND --help` prints: change the
module in `builder/cli`, not this file.

Every command ends with status {DONE} when it is done, {WRONG} when the content is wrong, a release is refused or
something examined is not as it should be, {USAGE} when it was called wrongly, and {STOPPED} plus the number of the
signal when it was stopped.
"""
UNDER_EXAMPLES = "Examples:"
JOINED = "\0"


def commands_document() -> str:
    """A section for each command, in the order of the command group."""
    group = click.Context(handbook, info_name="handbook")
    commands = [handbook.get_command(group, name) for name in handbook.list_commands(group)]
    return HEAD + "".join(_section(command, group) for command in commands if command)


def parts_of(command: click.Command) -> tuple[str, tuple[str, ...]]:
    """What the help of a command says, and its examples, a line or several joined by a backslash for each call."""
    said, _, shown = cleandoc(command.help or "").replace(KEPT, "").partition(UNDER_EXAMPLES)
    calls = dedent(shown.strip("\n")).strip().replace("\\\n", JOINED).splitlines()
    paragraphs = (" ".join(paragraph.split()) for paragraph in said.split("\n\n"))
    return "\n\n".join(filter(None, paragraphs)), tuple(call.replace(JOINED, "\\\n") for call in calls)


def _section(command: click.Command, group: click.Context) -> str:
    context = click.Context(command, info_name=command.name, parent=group)
    said, examples = parts_of(command)
    call = " ".join(["handbook", command.name or "", *command.collect_usage_pieces(context)])
    options = [parameter for parameter in command.params if isinstance(parameter, click.Option)]
    records = [record for option in options if (record := option.get_help_record(context))]
    rows = "".join(f"| `{option}` | {_cell(meaning)} |\n" for option, meaning in records)
    shown = "\n".join(examples)
    return f"\n## {command.name}\n`{call}`\n\n{said}\n\n```sh\n{shown}\n```\n\n| option | meaning |\n|---|---|\n{rows}"


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", r"\|")


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(commands_document(), encoding="utf-8")
