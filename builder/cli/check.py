"""``handbook check``."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from builder.base.errors import ContentError
from builder.cli.options import as_of_option, content_option, quiet_option
from builder.cli.telling import progress, say, show_findings, show_problems, tally
from builder.cli.work import Work

if TYPE_CHECKING:
    from builder.base.telling import Tell
    from builder.pipeline import Judged

TEXT, JSON, SARIF = "text", "json", "sarif"


@click.command()
@content_option
@as_of_option
@click.option("--release", is_flag=True, help="Exit with status 1 when a stop finding would refuse a release.")
@click.option("--notes", is_flag=True, help="Show notes as well as stops and warnings.")
@click.option("--cards", is_flag=True, help="Lay the cards out too, and tell which do not fit.")
@click.option(
    "--format",
    "form",
    type=click.Choice([TEXT, JSON, SARIF]),
    default=TEXT,
    show_default=True,
    help="For people, for programs, or for editors and pipelines (SARIF 2.1.0); the last two have the notes too.",
)
@quiet_option
def check(content: Path, as_of: date, release: bool, notes: bool, cards: bool, form: str, quiet: bool) -> int:
    r"""Check content and list findings, building nothing.

    \b
    Examples:
      handbook check
      handbook check --cards
      handbook check --content my-site --as-of 2027-03-01 --notes
      handbook check --format sarif > handbook.sarif
    """
    from builder import pipeline  # noqa: PLC0415 - `--help` needs none of it

    try:
        with progress(quiet=quiet) as tell:
            judged = pipeline.judge(content, as_of, tell)
            pipeline.check_books(judged, tell)
            misfits = _misfits(judged, tell) if cards else ()
    except ContentError as error:
        if form == TEXT:
            show_problems(error, content)
        else:
            _report(form, content, error, None)
        return 1
    if form == TEXT:
        _show(judged, misfits, content, notes=notes, quiet=quiet)
    else:
        _report(form, content, None, judged, misfits)
    return 1 if misfits or (release and judged.stops()) else 0


def _show(judged: Judged, misfits: Sequence[str], content: Path, *, notes: bool, quiet: bool) -> None:
    show_findings(judged.findings, content, notes=notes)
    for fault in misfits:
        say(f"misfit: {fault}")
    if quiet:
        return
    stops = len(judged.stops())
    state = f"content is read, but {stops} of its findings would refuse a release" if stops else "content is good"
    if misfits:
        state = "content is read, but no build can print these cards: `handbook card ID` shows where"
    say(f"{state}; {len(judged.ledger.figures)} figures; findings: {tally(judged.findings)}")


def _report(
    form: str, content: Path, error: ContentError | None, judged: Judged | None, misfits: Sequence[str] = ()
) -> None:
    """What was found, for programs."""
    from builder.load.excerpt import excerpts  # noqa: PLC0415 - only where it is asked for
    from builder.publish.check_report import as_json, as_sarif  # noqa: PLC0415 - only where it is asked for

    problems, findings = error.problems if error else (), judged.findings if judged else ()
    if form == JSON:
        click.echo(as_json(problems, findings, misfits, excerpts(content, problems)))
    else:
        click.echo(as_sarif(problems, findings, misfits, content))


def _misfits(judged: Judged, tell: Tell) -> tuple[str, ...]:
    """What is wrong with cards once they are laid out."""
    from builder import pipeline  # noqa: PLC0415 - `--help` needs none of it

    tell(f"laying out {len(judged.papers.cards.papers)} cards")
    with Work.usual().opened() as shop:
        return tuple(fault for proof in pipeline.card_proofs(judged, shop) for fault in proof.faults)
