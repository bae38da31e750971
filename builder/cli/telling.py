"""What the command says while it works, and how it shows faults and findings."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from builder.base.errors import ContentError, Problem
from builder.base.finding import Finding

ORDER = ("stop", "warn", "note")

EVERY = sys.maxsize
NOTE = "note: "
"""Begins what a builder of cards is told though nothing is wrong."""


@contextmanager
def progress(*, quiet: bool) -> Iterator[Callable[[str], None]]:
    """A function that tells what starts now: one moving line on a terminal, plain lines elsewhere, nothing if quiet.

    What begins with ``note:`` stays on the terminal.
    """
    if quiet:
        yield lambda _: None
        return
    if not sys.stderr.isatty():
        yield lambda text: click.echo(text if text.startswith(NOTE) else f"{text} ...", err=True)
        return
    from rich.console import Console  # noqa: PLC0415 - only terminals need it
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn  # noqa: PLC0415

    # No refreshing thread: cards are laid out in forked processes, and forking wants a process with one thread.
    columns = (SpinnerColumn(), TextColumn("{task.description}"), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), auto_refresh=False, transient=True) as bar:
        task = bar.add_task("starting")

        def tell(text: str) -> None:
            if text.startswith(NOTE):
                bar.console.print(text, markup=False, highlight=False)
            else:
                bar.update(task, description=text, refresh=True)

        yield tell


def show_problems(error: ContentError, content: Path) -> None:
    """Every fault with file, line, the line itself, what is allowed and the nearest match."""
    for problem in error.problems:
        click.echo(f"{content.as_posix()}/{problem.where}: {problem.found}", err=True)
        line = _line(content, problem)
        if line:
            click.echo(f"    | {line}", err=True)
        if problem.allowed:
            click.echo(f"    allowed: {problem.allowed}", err=True)
        if problem.nearest:
            click.echo(f"    nearest: {', '.join(problem.nearest)}", err=True)
    count = len(error.problems)
    click.echo(
        f"{count} fault{'s' if count != 1 else ''} in the content; nothing was built, what was published is untouched",
        err=True,
    )


def _line(content: Path, problem: Problem) -> str:
    path = content / problem.where.file
    if not path.is_file() or not path.resolve().is_relative_to(content.resolve()):
        return ""
    try:
        lines = path.read_text(encoding="utf-8-sig").split("\n")
    except (OSError, UnicodeDecodeError):
        return ""
    at = problem.where.line - 1
    return lines[at].strip()[:160] if 0 <= at < len(lines) else ""


def show_findings(findings: Iterable[Finding], content: Path, *, notes: bool, most: int = EVERY) -> None:
    """Findings, the gravest first; notes only when asked for.

    :param most: how many of one rule are told; the rest is counted.
    """
    told: Counter[str] = Counter()
    for finding in findings:
        if finding.severity.value == "note" and not notes:
            continue
        told[finding.rule] += 1
        if told[finding.rule] > most:
            continue
        click.echo(f"{finding.severity.value}: {content.as_posix()}/{finding.where}: {finding.message}")
        if finding.mend:
            click.echo(f"    mend: {finding.mend}")
        if finding.source:
            click.echo(f"    source: {finding.source}")
    for rule, count in told.items():
        if count > most:
            click.echo(f"{count - most} more of {rule}: see findings.html, or `handbook check`")


def tally(findings: Iterable[Finding]) -> str:
    """How many of each, in words."""
    count = Counter(finding.severity.value for finding in findings)
    return ", ".join(f"{count[name]} {name}{'s' if count[name] != 1 else ''}" for name in ORDER)
