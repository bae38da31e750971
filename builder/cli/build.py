"""``handbook build``."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.errors import ContentError
from builder.cli.options import as_of_option, content_option, quiet_option
from builder.cli.telling import progress, say, show_findings, show_problems, tally
from builder.cli.work import Work, work_options

if TYPE_CHECKING:
    from builder.pipeline import Built

MOST_OF_A_RULE = 5
"""A site of thousands of units can be short of a check on hundreds of them."""


@click.command()
@content_option
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("site"),
    show_default=True,
    help="Folder the site is put in; swapped in whole when everything is ready.",
)
@as_of_option
@click.option("--release", is_flag=True, help="Refuse any stop finding; print without draft marks.")
@work_options
@quiet_option
def build(content: Path, out: Path, as_of: date, release: bool, work: Work, quiet: bool) -> int:
    r"""Build the handbook: pages, PDF handbook, pocket cards, sheets, ledger.

    Only what changed since an earlier build is made again; the bytes are those of a build from nothing.

    \b
    Examples:
      handbook build
      handbook build --content my-site --out /srv/handbook --as-of 2026-12-01
      handbook build --release
    """
    from builder.publish import unchanged  # noqa: PLC0415 - `--help` needs none of it
    from builder.publish.staging import standing  # noqa: PLC0415 - as above

    store = work.store()
    key = unchanged.request_key(content, out, as_of, release=release) if store else ""
    said = unchanged.said_before(store, key, out) if store else ""
    if said:
        if not quiet:
            say(f"nothing changed since {said}; {_opened(out)}")
        return 0
    built = _built(content, out, as_of, work, release=release, quiet=quiet)
    if built is None:
        return 1
    with standing(out):
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
    from builder import pipeline  # noqa: PLC0415 - heavy, and only a build that has something to do needs it
    from builder.publish.staging import told_of  # noqa: PLC0415 - as above

    built = None
    try:
        with progress(quiet=quiet) as tell, work.opened() as shop:
            built = pipeline.build(content, out, as_of, release=release, shop=shop, tell=tell)
    except KeyboardInterrupt as stop:
        if built is not None:
            stop.add_note(told_of(out))
        raise
    except ContentError as error:
        show_problems(error, content)
    return built


def _opened(out: Path) -> str:
    return f"open {(out / 'index.html').resolve().as_uri()}"
