"""A group of commands that loads a command when it is called, and none to list them."""

from collections.abc import Mapping
from importlib import import_module
from keyword import iskeyword
from typing import Any

import click

KEPT, SPELLED = "\b", r"\b"
"""What begins a paragraph that click leaves as it is, and how a raw docstring spells it."""


def with_examples(command: click.Command) -> click.Command:
    """The command with the examples of its help a line each."""
    command.help = (command.help or "").replace(SPELLED, KEPT)
    return command


class LazyGroup(click.Group):
    """Finds each command in the module of ``builder.cli`` that ``lazy`` names."""

    def __init__(self, *args: Any, lazy: Mapping[str, tuple[str, str]], **others: Any) -> None:
        """``lazy`` has, by command, its module and what it does in one sentence, which its own help begins with."""
        super().__init__(*args, **others)
        self._lazy = lazy

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - the form of a group
        """Names of the commands, in the order in which one meets them."""
        return list(self._lazy)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002 - as above
        """The command, loaded now; ``None`` when there is none of that name."""
        if cmd_name not in self._lazy:
            return None
        module, _ = self._lazy[cmd_name]
        name = f"{cmd_name}_" if iskeyword(cmd_name) else cmd_name
        command: click.Command = getattr(import_module(f"builder.cli.{module}"), name)
        return with_examples(command)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - as above
        """The list of commands, none of them loaded."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, short) for name, (_, short) in self._lazy.items()])
