"""``handbook build`` and ``handbook check``."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from builder.base.errors import ContentError
from builder.cli.options import as_of_option, content_option, quiet_option
from builder.cli.telling import progress, show_findings, show_problems, tally

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
@click.option("--jobs", type=click.IntRange(1, 64), default=2, show_default=True, help="Processes that lay out cards.")
@quiet_option
def build(content: Path, out: Path, as_of: date, release: bool, jobs: int, quiet: bool) -> int:
    r"""Build the handbook: pages, PDF handbook, pocket cards, sheets, ledger.

    \b
    Examples:
      handbook build
      handbook build --content my-site --out /srv/handbook --as-of 2026-12-01
      handbook build --release
    """
    from builder import pipeline  # noqa: PLC0415 - `--help` needs none of it

    try:
        with progress(quiet=quiet) as tell:
            built = pipeline.build(content, out, as_of, release=release, jobs=jobs, tell=tell)
    except ContentError as error:
        show_problems(error, content)
        return 1
    judged = built.composed.judged
    stops = judged.stops()
    show_findings(stops, content, notes=False, most=MOST_OF_A_RULE)
    if quiet:
        return 0
    kind = "released" if release else "draft"
    click.echo(
        f"{kind}: {len(built.composed.pages)} pages, {len(built.composed.cards)} cards, "
        f"{len(judged.ledger.figures)} figures; findings: {tally(judged.findings)}"
    )
    click.echo(f"open {(out / 'index.html').resolve().as_uri()}")
    return 0


@click.command()
@content_option
@as_of_option
@click.option("--release", is_flag=True, help="Exit with status 1 when a stop finding would refuse a release.")
@click.option("--notes", is_flag=True, help="Show notes as well as stops and warnings.")
@quiet_option
def check(content: Path, as_of: date, release: bool, notes: bool, quiet: bool) -> int:
    r"""Check content and list findings, building nothing.

    \b
    Examples:
      handbook check
      handbook check --content my-site --as-of 2027-03-01 --notes
    """
    from builder import pipeline  # noqa: PLC0415 - `--help` needs none of it

    try:
        with progress(quiet=quiet) as tell:
            judged = pipeline.judge(content, as_of, tell)
            pipeline.compose(judged, draft=True, tell=tell)
    except ContentError as error:
        show_problems(error, content)
        return 1
    show_findings(judged.findings, content, notes=notes)
    if not quiet:
        click.echo(f"content is good; {len(judged.ledger.figures)} figures; findings: {tally(judged.findings)}")
    return 1 if release and judged.stops() else 0
