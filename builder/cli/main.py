"""The command group and its exit status: 0 done, 1 content wrong or release refused, 2 wrong usage.

Stopped from outside it ends with 128 and the number of the signal, as shells have it.
"""

import os
import signal
from collections.abc import Mapping, Sequence
from functools import partial
from importlib import import_module
from keyword import iskeyword
from types import FrameType
from typing import Any

import click

from builder import __version__
from builder.base.errors import FitError, HandbookError, UsageError
from builder.cli.telling import say

DONE, WRONG, USAGE = 0, 1, 2
STOPPED = 128
COMMANDS = {
    "build": ("build", "Build the handbook: pages, PDF handbook, pocket cards, sheets, ledger."),
    "check": ("check", "Check content and list findings, building nothing."),
    "start": ("start", "Write a small content folder to begin with, with the hazards of a trade, ready to build."),
    "import": (
        "importing",
        "Propose how to read a table of any form: an inventory, records, settings, movements, a station's log.",
    ),
    "preview": ("preview", "Show a draft in this machine's browser, and make it anew whenever the content changes."),
    "card": ("card", "Lay out one card alone, as a draft, in each of its languages; no other card need fit."),
    "translate": (
        "translate",
        "Write all texts of a site in LANG for who translates or reads them, and take them back.",
    ),
    "trace": ("trace", "Show where a figure comes from: formula, inputs, content lines, published sources, rounding."),
    "fit": ("fit", "Show from the records whether UNIT was fit on DAY before its first use, and what nobody knows."),
    "convert": ("convert", "Convert NUMBER FROM_UNIT to TO_UNIT: ppm, ppb, %vol, mg/m3, g/m3, %LEL."),
    "gas": ("gas", "Print what the reference library holds of a gas: every value with unit and source."),
    "release": ("release", "Release a revision: publish it without draft marks, freeze a copy, and enter it."),
    "compare": ("release", "Compare two editions: what changed, why, and what must be printed anew."),
    "verify": ("verify", "Examine a site or an evidence pack for anything changed, lost, added or printed wrongly."),
    "sign": ("verify", "Sign the checksums of a site, and of its revisions, with an OpenSSH key."),
    "evidence": ("release", "Gather what an auditor asks for: one PDF with contents, and the tables behind it."),
}
"""Command -> its module, and what it does."""


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


@click.group(
    cls=LazyGroup, lazy=COMMANDS, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100}
)
@click.version_option(__version__, prog_name="handbook")
def handbook() -> None:
    r"""Turn one folder of plain data about portable gas detectors into a printable program handbook.

    \b
    Examples:
      handbook build                          content/ into site/
      handbook check --as-of 2027-03-01       what would be wrong that day
      handbook trace gas.methane.lel          where a figure comes from
      handbook gas toluene                    what is published about a gas
      handbook compare 2 draft                what changed since revision 2, and why
      handbook convert 10 ppm mg/m3 --gas hydrogen-sulfide --temperature 25 --pressure 101.325

    The handbook supports a competent person and replaces nobody: the instrument's own manual, local law and licensed
    practice prevail.
    """


with_examples(handbook)


class StoppedBySignalError(KeyboardInterrupt):
    """Somebody ended the command from outside, or its terminal went away."""


def _stop(owner: int, number: int, _frame: FrameType | None) -> None:
    """Unwind, so that worker processes end and nothing half-made stays; whoever asks twice is not heard again.

    A process forked from this one that has not yet its own way with signals has nothing to unwind.
    """
    if os.getpid() != owner:
        os._exit(STOPPED + number)
    signal.signal(number, signal.SIG_IGN)
    raise StoppedBySignalError(number)


def heed_signals() -> None:
    """Let TERM and HUP end the command as the keyboard does, with all that it started."""
    for number in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(number, partial(_stop, os.getpid()))


FIT = "allowed: shorter texts, fewer blocks or a larger format; `handbook card ID` shows a card that does not fit"
UNTOUCHED = "what was published before is untouched"


def run(arguments: Sequence[str]) -> int:
    """Run the command and say how it went: ``DONE``, ``WRONG`` or ``USAGE``."""
    try:
        result = handbook.main(list(arguments), prog_name="handbook", standalone_mode=False)
    except click.exceptions.NoArgsIsHelpError as error:
        say(error.format_message(), lines=True)
        return USAGE
    except click.ClickException as error:
        error.show()
        return USAGE
    except (click.Abort, KeyboardInterrupt) as error:
        cause = error.__cause__ or error  # the command line library has its own name for it
        say(f"stopped; {_stands(cause)}", err=True)
        return STOPPED + (cause.args[0] if isinstance(cause, StoppedBySignalError) else signal.SIGINT)
    except UsageError as error:
        say(f"Error: {error}", err=True)
        return USAGE
    except HandbookError as error:
        cure = [f"{FIT}; {_stands(error)}"] if isinstance(error, FitError) else _notes(error)
        say("\n".join([str(error), *cure]), err=True, lines=True)
        return WRONG
    except (OSError, MemoryError, RuntimeError, SystemError, ImportError) as error:
        refused = _refused(error)
        if not refused:
            raise
        say(f"{refused}; {_stands(error)}", err=True)
        return WRONG
    return result if isinstance(result, int) else DONE


def _refused(error: OSError | MemoryError | RuntimeError | SystemError | ImportError) -> str:
    """What the system would not give, in words; nothing for a fault of the program."""
    if isinstance(error, MemoryError):
        return "too little memory; --jobs 1 takes least"
    if isinstance(error, SystemError):  # what the interpreter itself says at the very end of its memory
        return f"Python failed within itself ({error}), as it does with too little memory; --jobs 1 takes least"
    if isinstance(error, ModuleNotFoundError):
        from builder.base.missing import lacks  # noqa: PLC0415 - hardly ever

        return lacks(error.name or "")
    if isinstance(error, ImportError):  # the system cannot map it
        return f"a library cannot be loaded ({error}), as with too little memory; --jobs 1 takes least"
    if isinstance(error, RecursionError):
        return "something is nested too deeply to be read"
    if isinstance(error, RuntimeError):
        from concurrent.futures import BrokenExecutor  # noqa: PLC0415 - where none are, it is loaded for nothing

        broken = "a process that lays out documents ended before its work was done; --jobs 1 needs none"
        return broken if isinstance(error, BrokenExecutor) else ""
    return f"the system refuses: {error}"


def _stands(cause: BaseException) -> str:
    return "; ".join(_notes(cause)) or UNTOUCHED


def _notes(cause: BaseException) -> list[str]:
    """What an exception was told on its way, such as that the new site stands."""
    return list(dict.fromkeys(getattr(cause, "__notes__", ())))
