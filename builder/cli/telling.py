"""What the command says while it works, and how it shows faults and findings."""

import posixpath
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from itertools import zip_longest
from pathlib import Path

import click

from builder.base.errors import ContentError
from builder.base.finding import Finding
from builder.base.grouping import grouped
from builder.base.unseen import visible
from builder.base.where import Where
from builder.load.excerpt import excerpts

ORDER = {"stop": "stop", "warn": "warning", "note": "note"}

EVERY = sys.maxsize
NOTE = "note: "
"""Begins what a builder of cards is told though nothing is wrong."""


def say(text: str, *, err: bool = False, lines: bool = False) -> None:
    """A line on the terminal, where nothing that came from a file can steer it, or look like a line of our own.

    :param lines: whether the text is meant to have more lines than one.
    """
    shown = visible(text)
    click.echo(shown if lines else shown.replace("\n", "<U+000A>"), err=err)


@contextmanager
def progress(*, quiet: bool) -> Iterator[Callable[[str], None]]:
    """A function that tells what starts now: one moving line on a terminal, plain lines elsewhere, nothing if quiet.

    What begins with ``note:`` stays on the terminal.
    """
    if quiet:
        yield lambda _: None
        return
    if not sys.stderr.isatty():
        yield lambda text: say(text if text.startswith(NOTE) else f"{text} ...", err=True)
        return
    from rich.console import Console  # noqa: PLC0415 - only terminals need it
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn  # noqa: PLC0415

    # No refreshing thread: cards are laid out in forked processes, and forking wants a process with one thread.
    columns = (SpinnerColumn(), TextColumn("{task.description}", markup=False), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), auto_refresh=False, transient=True) as bar:
        task = bar.add_task("starting")

        def tell(text: str) -> None:
            if text.startswith(NOTE):
                bar.console.print(visible(text), markup=False, highlight=False)
            else:
                bar.update(task, description=visible(text), refresh=True)

        yield tell


@contextmanager
def faults_told(content: Path) -> Iterator[None]:
    """What is wrong with the content is shown, and ends the command with status 1."""
    try:
        yield
    except ContentError as error:
        show_problems(error, content)
        raise click.exceptions.Exit(1) from None


def show_problems(error: ContentError, content: Path) -> None:
    """Every fault with file, line, its kind, the line itself, what is allowed and the nearest match; then the cures."""
    shown = excerpts(content, error.problems)
    for problem in error.problems:
        say(f"{_place(content, problem.where)}: {problem.found} [{problem.kind}]", err=True)
        if problem in shown:
            say(f"    | {shown[problem].text}", err=True)
        if problem in shown and shown[problem].caret:
            say(f"    | {shown[problem].caret}", err=True)
        if problem.allowed:
            say(f"    allowed: {problem.allowed}", err=True)
        if problem.nearest:
            say(f"    nearest: {', '.join(problem.nearest)}", err=True)
    for kind in dict.fromkeys(problem.kind for problem in error.problems):
        say(f"[{kind}] {kind.cure}", err=True)
    count = error.count
    say(
        f"{count} fault{'s' if count != 1 else ''} in the content; nothing was built, what was published is untouched",
        err=True,
    )


def _place(content: Path, where: Where) -> str:
    """A line as a terminal can open it, or the folder itself; that to an extended folder has no detour."""
    if where.file == ".":
        return content.as_posix()
    told = f"{content.as_posix().rstrip('/')}/{where}"
    return posixpath.normpath(told) if where.file.startswith("../") else told


def show_findings(findings: Iterable[Finding], content: Path, *, notes: bool, most: int = EVERY) -> None:
    """Findings, the gravest first; notes only when asked for. What cures several of one rule is told below the last.

    :param most: how many of one rule are told; the rest is counted.
    """
    told = (one for one in findings if notes or one.severity.value != "note")
    more: Counter[str] = Counter()
    for (_, rule), of_rule in grouped(told, lambda one: (one.severity.value, one.rule)).items():
        more[rule] += len(of_rule[most:])
        for finding, after in zip_longest(of_rule[:most], of_rule[1:most]):
            say(f"{finding.severity.value}: {_place(content, finding.where)}: {finding.message}")
            if finding.mend and (after is None or after.mend != finding.mend):
                say(f"    cure: {finding.mend}")
            if finding.source and (after is None or after.source != finding.source):
                say(f"    source: {finding.source}")
    for rule, count in (+more).items():
        say(f"{count} more of {rule}: see findings.html, or `handbook check`")


def tally(findings: Iterable[Finding]) -> str:
    """How many of each, in words."""
    count = Counter(finding.severity.value for finding in findings)
    return ", ".join(f"{count[name]} {word}{'s' if count[name] != 1 else ''}" for name, word in ORDER.items())
