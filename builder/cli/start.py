"""``handbook start``."""

import sys
from collections.abc import Collection
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import click

from builder.base.errors import UsageError
from builder.base.nearest import nearest
from builder.cli.options import FILE_THERE, FOLDER, as_of_option, quiet_option
from builder.cli.telling import say
from builder.starters.trades import BY_ID, TRADES

ASKED_FOR = "--trade and --name, and --place and --language where they are not the trade's"
NAMES = "; ".join(f"{trade.id} ({trade.name.lower()})" for trade in TRADES)


@click.command()
@click.argument("folder", metavar="DIR", type=FOLDER)
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
@click.option("--area", "areas", multiple=True, metavar="ID", help="An area of the trade to begin with; default: all.")
@click.option("--pumped", is_flag=True, help="There are detectors with a pump only, and none without to be worn.")
@click.option(
    "--language",
    "languages",
    multiple=True,
    metavar="TAG",
    help="What cards and pages speak beside English, such as es; texts of your own are then asked for.",
)
@click.option(
    "--inventory", type=FILE_THERE, help="A CSV table of units with the heads id, model, serial; taken as it is."
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
    areas: tuple[str, ...],
    pumped: bool,
    languages: tuple[str, ...],
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
      handbook start my-site --trade brewery --name "Old Brewery" --place united-kingdom --area cellar --language es
      handbook start south --extends ../company --name "South Works"
    """
    from builder.publish.new_folder import refuse_filled, write_new  # noqa: PLC0415 - `--help` needs none of it

    refuse_filled(folder)
    table = _table(inventory) if inventory else ""
    if extends is None:
        others = {"paper": paper, "day": as_of, "inventory": table, "worn": not pumped}
        files = _of_trade(trade, areas, place, languages, name, **others)
    else:
        alone = trade is place is None and not (areas or pumped or languages)
        files = _of_company(folder, extends, name, as_of, table, alone=alone)
    write_new({path: text.encode() for path, text in files.items()}, folder)
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
        raise UsageError(
            "trade, place, areas and the like are what the extended folder says; allowed: --extends without them"
        )
    fault = fault_of(folder, extends)
    if fault:
        raise UsageError(f"--extends {fault}")
    chosen = name or _typed("Name of the site", "--name")
    return extending_files(WantedSite(extends=extends, name=chosen, day=as_of, inventory=table))


def _of_trade(
    trade: str | None,
    areas: tuple[str, ...],
    place: str | None,
    languages: tuple[str, ...],
    name: str | None,
    **others: Any,
) -> dict[str, str]:
    """The files of a trade; what is not said is asked for, where nothing was said of the trade either."""
    from builder.program.languages import ENGLISH, LANGUAGES  # noqa: PLC0415 - `--help` needs none of it
    from builder.reference.rules import places  # noqa: PLC0415 - as above
    from builder.starters.files import starter_files  # noqa: PLC0415 - as above
    from builder.starters.writing import Wanted  # noqa: PLC0415 - as above

    chosen = BY_ID[_known("trade", trade or _typed(f"Trade: {NAMES}\nWhich", ASKED_FOR, TRADES[0].id), BY_ID)]
    name = name or _typed("Name of the site", ASKED_FOR, chosen.works)
    if trade is None:
        place = place or _typed("Whose rules hold", ASKED_FOR, chosen.place)
        told = f"Languages beside English ({', '.join(tag for tag in LANGUAGES if tag != ENGLISH)})"
        languages = languages or tuple(_typed(told, ASKED_FOR, "").replace(",", " ").split())
    ids = {area.id: area for area in chosen.areas}
    kept = [ids[_known(f"area of {chosen.id}", area, ids)] for area in areas]
    spoken = (_known("language", tag, LANGUAGES) for tag in languages)
    return starter_files(
        Wanted(
            trade=replace(chosen, areas=tuple(kept) or chosen.areas),
            name=name,
            place=_known("place", place or chosen.place, places()),
            languages=tuple(dict.fromkeys((ENGLISH, *spoken))),
            **others,
        )
    )


def _typed(question: str, options: str, default: str | None = None) -> str:
    """The answer to a question.

    :raises UsageError: when nothing can be typed, as in a pipeline: a trade, with its hazards, is never guessed.
    """
    try:
        if sys.stdin is not None:
            return str(click.prompt(question, default=default, show_default=bool(default)))
    except click.Abort:
        if sys.stdin.isatty():
            raise
        click.echo()
    raise UsageError(f"{question.splitlines()[-1]!r} is asked, and nothing can be typed here; say {options}")


def _known(what: str, word: str, known: Collection[str]) -> str:
    """The word, if there is such a thing.

    :raises UsageError: with the nearest there are.
    """
    if word not in known:
        raise UsageError(f"no {what} {word!r}; nearest: {', '.join(nearest(word, known) or known)}")
    return word


def _table(path: Path) -> str:
    """A table of units as it is.

    :raises UsageError: when it is no text in UTF-8.
    """
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise UsageError(f"{path} is no text saved as UTF-8; `handbook import` reads other files") from None
