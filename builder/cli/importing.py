"""``handbook import``: how a table of somebody else's would be read, and its map for ``maps.yaml``."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.base.errors import UsageError
from builder.base.unseen import visible
from builder.cli.options import FILE_THERE, content_option
from builder.cli.telling import say

if TYPE_CHECKING:
    from builder.program.proposal import Answers, Proposal

A_FIELD = "FIELD=HEAD"
KINDS = ("inventory", "records", "readback", "movements", "station-log")


def _pairs(_context: click.Context, option: click.Parameter, texts: tuple[str, ...]) -> dict[str, str]:
    """The two sides of each ``A=B``; of ``FIELD=HEAD`` the field by its head, since a time may have several heads."""
    made: dict[str, str] = {}
    for text in texts:
        left, _, right = (part.strip() for part in text.partition("="))
        if not left or not right:
            raise click.BadParameter(f"{text!r}; allowed: {option.metavar}")
        key, value = (right, left) if option.metavar == A_FIELD else (left, right)
        if key in made:
            raise click.BadParameter(f"{key!r} twice; allowed: each once")
        made[key] = value
    return made


@click.command("import")
@click.argument("file", type=FILE_THERE)
@click.option("--as", "kind", type=click.Choice(KINDS), required=True, help="What its rows are.")
@content_option
@click.option("--sheet", default="", metavar="NAME", help="Sheet of a workbook; needed where it has several.")
@click.option("--encoding", default="", metavar="NAME", help="What the file was saved as, where it does not tell.")
@click.option("--set", "fields", multiple=True, callback=_pairs, metavar=A_FIELD, help="What a column is.")
@click.option(
    "--constant",
    "constants",
    multiple=True,
    callback=_pairs,
    metavar="FIELD=VALUE",
    help="What is so in every row and stands in no column.",
)
@click.option("--ignore", multiple=True, metavar="HEAD", help="A column that means nothing to a handbook.")
@click.option("--footer", "footers", multiple=True, metavar="TEXT", help="How a row that is none begins, as a total.")
@click.option(
    "--value", "values", multiple=True, callback=_pairs, metavar="FIELD:WORD=ID", help="What a word in a column is."
)
@click.option("--zone", default="", metavar="NAME", help="Time zone of times without one, such as Europe/Berlin.")
@click.option(
    "--time-format", default="", metavar="FORM", help="Form of days or times that are asked, such as %d.%m.%Y %H:%M."
)
@click.option(
    "--decimal", type=click.Choice(["point", "comma"]), help="Mark before decimals, where 1,200 may be thousands."
)
@click.option("--write", is_flag=True, help="Add the map to maps.yaml and put a copy of the file in its place.")
def import_(file: Path, kind: str, content: Path, sheet: str, encoding: str, write: bool, **said: Any) -> int:
    r"""Propose how to read a table of any form: an inventory, records, settings, movements, a station's log.

    It shows what each column is taken for, its first values, and the map for maps.yaml. Whatever is not plain to see
    stands there as a comment `# unsure`; then the status is 1. Nothing is changed unless `--write` is given.

    \b
    Examples:
      handbook import bench-2026-11.csv --as records
      handbook import tests.xlsx --as records --sheet Bump --constant kind=bump-test --ignore Weather --write
      handbook import list.csv --as inventory --set id="Our no." --content my-site
    """
    from builder.load.shape import ENCODINGS  # noqa: PLC0415 - `--help` needs none of it
    from builder.load.unmapped import unmapped  # noqa: PLC0415
    from builder.program.map_proposal import most_understood, proposed_map  # noqa: PLC0415
    from builder.program.proposal import Answers  # noqa: PLC0415
    from builder.program.table_kinds import TABLES  # noqa: PLC0415
    from builder.publish.importing import place_of, put_in_place, site_words  # noqa: PLC0415

    if encoding and encoding not in ENCODINGS:
        raise UsageError(f"--encoding {encoding!r}; allowed: {', '.join(ENCODINGS)}")
    answers = Answers(**said)
    if not content.is_dir():
        say(f"no folder {content.as_posix()}, so it is not known what the site calls its things: --content", err=True)
    known = site_words(content)
    table = unmapped(file, sheet, encoding)
    if not table.sheet_is_sure and table.sheet:
        each = [unmapped(file, name, encoding) for name in table.sheets]
        table = replace(most_understood(each, TABLES[kind], known, answers), sheet_is_sure=False)
    made = proposed_map(table, TABLES[kind], known, answers)
    _refuse_unused(made, answers)
    place = place_of(file, content, made)
    _show(made, file, place.text)
    if write:
        put_in_place(file, content, made, place)
        say(f"added to {content.as_posix()}/maps.yaml; the file stands at {content.as_posix()}/{place.file}")
    return 1 if made.unsure else 0


def _refuse_unused(made: Proposal, answers: Answers) -> None:
    """Refuse answers about what the table has not."""
    for head in (*answers.fields, *answers.ignore):
        if head not in made.head:
            raise UsageError(f"no column {head!r} in the file; its heads: {', '.join(filter(None, made.head))}")
    for name in (*answers.fields.values(), *answers.constants):
        if not made.kind.has(name):
            raise UsageError(f"no field {name!r} of {made.kind.id}; allowed: {', '.join(made.kind.fields)}")
    for said in answers.values:
        name, _, word = said.partition(":")
        if word not in made.values.get(name, {}):
            raise UsageError(f"no {word!r} in a column that is {name!r}; allowed: FIELD:WORD=ID")


def _show(made: Proposal, file: Path, text: str) -> None:
    from rich.console import Console  # noqa: PLC0415
    from rich.table import Table  # noqa: PLC0415

    table = Table(title=visible(f"{file.name}, heads in row {made.line}"), title_justify="left")
    for column in ("column", "first values", "taken for"):
        table.add_column(column, overflow="fold")
    for head in filter(None, made.head):
        taken = made.meaning(head)
        row = (head, " · ".join(made.samples.get(head, ())), taken or "not understood")
        table.add_row(*(visible(cell).replace("[", r"\[") for cell in row))
    Console().print(table)
    for number, start in made.footers.items():
        say(f"row {number}, which begins with {start!r}, is passed over")
    if "merged" in made.settings:
        say("what stands in cells merged over rows counts in each of them")
    if made.unsure:
        say(f"not understood, {len(made.unsure)}:")
    for line in made.unsure:
        say(f"  {line}")
    say("for maps.yaml:")
    say(text, lines=True)
