"""The command group and its exit status: 0 done, 1 content wrong or release refused, 2 wrong usage."""

from __future__ import annotations

from collections.abc import Sequence

import click

from builder import __version__
from builder.base.errors import HandbookError, UsageError
from builder.cli.build import build, check
from builder.cli.convert import convert
from builder.cli.evidence import evidence
from builder.cli.gas import gas
from builder.cli.release import compare, release
from builder.cli.trace import trace
from builder.cli.verify import sign, verify

DONE, WRONG, USAGE = 0, 1, 2
INTERRUPTED = 130


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
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


KEPT, SPELLED = "\b", r"\b"
"""What begins a paragraph that click leaves as it is, and how a raw docstring spells it."""


def with_examples(command: click.Command) -> click.Command:
    """The command with the examples of its help a line each."""
    command.help = (command.help or "").replace(SPELLED, KEPT)
    return command


with_examples(handbook)
for command in (build, check, trace, convert, gas, release, compare, verify, sign, evidence):
    handbook.add_command(with_examples(command))


def run(arguments: Sequence[str]) -> int:
    """Run the command and say how it went: ``DONE``, ``WRONG`` or ``USAGE``."""
    try:
        result = handbook.main(list(arguments), prog_name="handbook", standalone_mode=False)
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return USAGE
    except click.ClickException as error:
        error.show()
        return USAGE
    except (click.Abort, KeyboardInterrupt):
        click.echo("stopped; what was published before is untouched", err=True)
        return INTERRUPTED
    except UsageError as error:
        click.echo(f"Error: {error}", err=True)
        return USAGE
    except HandbookError as error:
        click.echo(str(error), err=True)
        return WRONG
    return result if isinstance(result, int) else DONE
