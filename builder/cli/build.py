"""``handbook build``."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.errors import ContentError, HandbookError, UsageError
from builder.base.gc_pause import gc_paused
from builder.cli.options import FOLDER_THERE, as_of_option, content_option, quiet_option, site_option
from builder.cli.telling import progress, say, show_findings, show_problems, tally
from builder.cli.work import Work, work_options
from builder.load.extended import refuse_kept

if TYPE_CHECKING:
    from builder.building import Built

MOST_OF_A_RULE = 5
"""A site of thousands of units can be short of a check on hundreds of them."""


@click.command()
@content_option
@site_option("--out", "Folder the site is put in; swapped in whole when everything is ready.")
@click.option(
    "--all",
    "every",
    metavar="DIR",
    type=FOLDER_THERE,
    help="Build every site right below DIR, each into a folder of --out, with an index over them; not with --content.",
)
@as_of_option
@click.option("--release", is_flag=True, help="Refuse any stop finding; print without draft marks.")
@work_options
@quiet_option
@click.pass_context
def build(
    context: click.Context,
    content: Path,
    out: Path,
    every: Path | None,
    as_of: date,
    release: bool,
    work: Work,
    quiet: bool,
) -> int:
    r"""Build the handbook: pages, PDF handbook, pocket cards, sheets, ledger.

    Only what changed since an earlier build is made again; the bytes are those of a build from nothing.

    \b
    Examples:
      handbook build
      handbook build --content my-site --out /srv/handbook --as-of 2026-12-01
      handbook build --release
      handbook build --all sites --out /srv/handbooks
    """
    if every is None:
        return _one(content, out, as_of, work, release=release, quiet=quiet)
    if context.get_parameter_source("content") is not click.core.ParameterSource.DEFAULT:
        raise UsageError("--all and --content; allowed: one of them")
    return _every(every, out, as_of, work, release=release, quiet=quiet)


def _every(above: Path, out: Path, as_of: date, work: Work, *, release: bool, quiet: bool) -> int:
    """Build all sites below a folder; a broken one is told and stops no other."""
    from builder.load.extended import site_folders  # noqa: PLC0415 - `--help` needs none of it
    from builder.pages.sites_index import sites_page  # noqa: PLC0415 - as above
    from builder.publish.sites import left_over, put_index, refuse_unfit, row_of  # noqa: PLC0415 - as above
    from builder.render.html import index_files  # noqa: PLC0415 - as above

    folders = site_folders(above)
    names = [folder.name for folder in folders]
    if not folders:
        raise UsageError(
            f"no site right below {above}; allowed: folders with a site.yaml, and an inventory of their own"
        )
    refuse_unfit(out, names)
    rows = []
    for folder in folders:
        if not quiet:
            say(f"{folder.name}:")
        try:
            refuse_kept(folder)
            status = _one(folder, out / folder.name, as_of, work, release=release, quiet=quiet)
            fault = "its content is wrong" if status else ""
        except (HandbookError, OSError) as error:
            say(f"{folder.name}: {error}", err=True, lines=True)
            fault = str(error).partition("\n")[0]
        rows.append(row_of(out / folder.name, folder.name, fault))
    out.mkdir(parents=True, exist_ok=True)
    put_index(index_files(*sites_page(rows)), names, out)
    for name in left_over(out, names):
        say(f"warn: {(out / name).as_posix()} is a site that no content below {above} makes any longer", err=True)
    broken = [row.folder for row in rows if row.fault]
    if broken:
        say(f"{len(broken)} of {len(rows)} sites not built: {', '.join(broken)}", err=True)
    if not quiet:
        say(_opened(out))
    return 1 if broken else 0


def _one(content: Path, out: Path, as_of: date, work: Work, *, release: bool, quiet: bool) -> int:
    """Build one site, unless it stands there already as a build would make it."""
    from builder.publish import unchanged  # noqa: PLC0415 - `--help` needs none of it
    from builder.publish.staging import standing  # noqa: PLC0415 - as above

    work.refuse_within(content, out)
    store = work.store()
    key = unchanged.request_key(content, out, as_of, release=release) if store else ""
    said = unchanged.said_before(store, key, out) if store else ""
    if said:
        if not quiet:
            say(f"nothing changed since {said}; {_opened(out)}")
        return 0
    with standing(out):
        built = _built(content, out, as_of, work, release=release, quiet=quiet)
        if built is None:
            return 1
        _tell(built, content, out, as_of, work, key, release=release, quiet=quiet)
    return 0


def _tell(
    built: Built, content: Path, out: Path, as_of: date, work: Work, key: str, *, release: bool, quiet: bool
) -> None:
    """Say what was built, and keep it for the next time."""
    from builder.publish import unchanged  # noqa: PLC0415 - `--help` needs none of it

    store = work.store()
    judged = built.composed.judged
    stops = judged.stops()
    show_findings(stops, content, notes=False, most=MOST_OF_A_RULE)
    said = (
        f"{'released' if release else 'draft'}: {len(built.composed.pages)} pages, {len(built.composed.cards)} cards, "
        f"{len(judged.ledger.figures)} figures; findings: {tally(judged.findings)}"
    )
    if store and key == unchanged.request_key(content, out, as_of, release=release):
        unchanged.remember(store, key, out, said)
    if not quiet:
        say(said)
        say("made anew: " + ", ".join(f"{made} of {count} {kind}" for kind, (made, count) in built.made.items()))
        say(_opened(out))


def _built(content: Path, out: Path, as_of: date, work: Work, *, release: bool, quiet: bool) -> Built | None:
    """What a build made, or ``None`` where the content is wrong, which was told."""
    with gc_paused():  # modules stay
        from builder import building  # noqa: PLC0415 - heavy, and only a build that has something to do needs it

    try:
        with progress(quiet=quiet) as tell, work.opened() as shop:
            return building.build(content, out, as_of, release=release, shop=shop, tell=tell)
    except ContentError as error:
        show_problems(error, content)
    return None


def _opened(out: Path) -> str:
    return f"open {(out / 'index.html').resolve().as_uri()}"
