"""``handbook start``."""

from datetime import date
from pathlib import Path

import click

from builder.base.errors import PublishError, UsageError
from builder.base.nearest import nearest
from builder.cli.options import as_of_option, quiet_option
from builder.cli.telling import say
from builder.starters.trades import BY_ID, TRADES

NAMES = "; ".join(f"{trade.id} ({trade.name.lower()})" for trade in TRADES)


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path, file_okay=False))
@click.option("--trade", help=f"One of {NAMES}. Asked for when it is left out.")
@click.option(
    "--extends",
    metavar="FOLDER",
    help="Content of the company or region that the site builds upon, from DIR, as in ../company; instead of a trade.",
)
@click.option("--name", help="Name of the site. Asked for when it is left out.")
@click.option("--place", help="Whose rules hold, such as united-kingdom; default: that of the trade.")
@click.option(
    "--paper", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True, help="Paper of books and sheets."
)
@click.option(
    "--inventory",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="A CSV table of units with the heads id, model, serial; taken as it is.",
)
@as_of_option
@quiet_option
def start(
    folder: Path,
    trade: str | None,
    extends: str | None,
    name: str | None,
    place: str | None,
    paper: str,
    inventory: Path | None,
    as_of: date,
    quiet: bool,
) -> int:
    r"""Write a small content folder to begin with, with the hazards of a trade, ready to build.

    Its values are cautious examples that nobody at the site has confirmed yet; a release is refused until every one of
    them is signed for in confirm.yaml.

    \b
    Examples:
      handbook start my-site --trade water --name "North Works"
      handbook start my-site --trade brewery --name "Old Brewery" --place united-kingdom
      handbook start south --extends ../company --name "South Works"
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise PublishError(f"{folder} is there and not empty; a starter is written into a new folder only")
    table = _table(inventory) if inventory else ""
    if extends is None:
        files = _of_trade(trade, name, place, paper, as_of, table)
    else:
        files = _of_company(folder, extends, name, as_of, table, alone=trade is place is None)
    for path, text in files.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")
    if not quiet:
        say(
            f"{folder} is written; every value marked confirm is an example until somebody signs for it in confirm.yaml"
        )
        say(f"next: handbook preview --content {folder} --open")
    return 0


def _of_company(
    folder: Path, extends: str, name: str | None, as_of: date, table: str, *, alone: bool
) -> dict[str, str]:
    from builder.load.extended import fault_of  # noqa: PLC0415 - `--help` needs none of it
    from builder.starters.extending import WantedSite, extending_files  # noqa: PLC0415 - as above

    if not alone:
        raise UsageError("--trade and --place are what the extended folder says; allowed: --extends without them")
    fault = fault_of(folder, extends)
    if fault:
        raise UsageError(f"--extends {fault}")
    chosen = name or click.prompt("Name of the site")
    return extending_files(WantedSite(extends=extends, name=chosen, day=as_of, inventory=table))


def _of_trade(
    trade: str | None, name: str | None, place: str | None, paper: str, as_of: date, table: str
) -> dict[str, str]:
    from builder.reference.rules import places  # noqa: PLC0415 - `--help` needs none of it
    from builder.starters.files import starter_files  # noqa: PLC0415 - as above
    from builder.starters.writing import Wanted  # noqa: PLC0415 - as above

    chosen = trade or click.prompt(f"Trade: {NAMES}\nWhich", default=TRADES[0].id)
    if chosen not in BY_ID:
        near = ", ".join(nearest(chosen, BY_ID)) or ", ".join(BY_ID)
        raise UsageError(f"no starter for the trade {chosen!r}; nearest: {near}")
    if place is not None and place not in places():
        near = ", ".join(nearest(place, places())) or ", ".join(places())
        raise UsageError(f"no place {place!r}; nearest: {near}")
    return starter_files(
        Wanted(
            trade=BY_ID[chosen],
            name=name or click.prompt("Name of the site", default=BY_ID[chosen].works),
            place=place or BY_ID[chosen].place,
            paper=paper,
            day=as_of,
            inventory=table,
        )
    )


def _table(path: Path) -> str:
    """A table of units as it is.

    :raises UsageError: when it is no text in UTF-8.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise UsageError(f"{path} is no text saved as UTF-8; `handbook import` reads other files") from None
