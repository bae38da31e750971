"""``handbook release``, ``handbook compare`` and ``handbook evidence``."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.base.unseen import visible
from builder.cli.options import FOLDER, as_of_option, content_option, day_of, quiet_option, site_option
from builder.cli.telling import faults_told, progress, say, tally
from builder.cli.work import Work, work_options

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.console import Console

    from builder.building import Built
    from builder.history.compare import Change, EditionComparison
    from builder.history.reprint import Reprints


@click.command()
@click.option("--number", type=click.IntRange(1), required=True, help="The next number.")
@click.option("--effective", metavar="DATE", callback=day_of, help="In force from, as YYYY-MM-DD. Default: --as-of.")
@click.option("--reason", required=True, help="What changed and why.")
@click.option("--prepared", required=True, metavar="NAME", help="Who prepared it: name, role.")
@click.option("--reviewed", required=True, metavar="NAME", help="Who reviewed it.")
@click.option("--approved", required=True, metavar="NAME", help="Who approved it.")
@click.option("--reviewed-on", metavar="DATE", callback=day_of, help="Day of the review, as YYYY-MM-DD.")
@click.option("--approved-on", metavar="DATE", callback=day_of, help="Day of the approval, as YYYY-MM-DD.")
@content_option
@site_option("--out", "Folder of the site.")
@as_of_option
@work_options
@quiet_option
def release(content: Path, out: Path, as_of: date, work: Work, quiet: bool, **entry: Any) -> int:
    r"""Release a revision: publish it without draft marks, freeze a copy, and enter it in the content.

    Refused while any stop finding stands. A released revision never changes. For copies of books in binders,
    books/changed has the chapters that changed, with a sheet that says which pages to take out and put in.

    \b
    Examples:
      handbook release --number 2 --reason "New detector in the wet well" \
          --prepared "A. Writer, safety lead" --reviewed "B. Reader" --reviewed-on 2026-12-01 \
          --approved "C. Head" --approved-on 2026-12-02
      handbook release --number 3 --effective 2027-01-01 --as-of 2027-01-01 --reason "..." \
          --prepared "..." --reviewed "..." --approved "..." --content my-site --out /srv/handbook
    """
    from builder.publish.staging import standing  # noqa: PLC0415 - `--help` needs none of it
    from builder.release.release import ReleaseRequest  # noqa: PLC0415 - as above
    from builder.release.release import release as make  # noqa: PLC0415 - as above

    asked = ReleaseRequest(**entry)
    work.refuse_within(content, out)
    with standing(out):
        with faults_told(content), progress(quiet=quiet) as tell, work.opened() as shop:
            built = make(content, out, as_of, asked, shop=shop, tell=tell)
        if not quiet:
            _tell(built, asked.number, content, out)
    return 0


def _tell(built: Built | None, number: int, content: Path, out: Path) -> None:
    if built is None:
        say(f"revision {number} was published before; only its entry was missing")
    else:
        judged = built.composed.judged
        say(
            f"released: revision {number}, {len(built.composed.pages)} pages, {len(built.composed.cards)} cards, "
            f"{len(judged.ledger.figures)} figures; findings: {tally(judged.findings)}"
        )
    say(f"frozen in {(out / 'revisions' / str(number)).as_posix()}")
    say(f"entered as {(content / 'revisions' / f'{number}.yaml').as_posix()}")


@click.command()
@click.argument("before", metavar="A")
@click.argument("after", metavar="B", default="draft")
@content_option
@site_option("--out", "Folder of the site.")
@as_of_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables.")
@click.option("--all", "everything", is_flag=True, help="Show also what only moved with the calendar.")
def compare(before: str, after: str, content: Path, out: Path, as_of: date, as_json: bool, everything: bool) -> int:
    r"""Compare two editions: what changed, why, and what must be printed anew, taken back and told.

    A and B are numbers of released revisions in the site (--out), or `draft`: the content as it is now.

    \b
    Examples:
      handbook compare 1 2
      handbook compare 2 draft
      handbook compare 2 draft --json > changes.json
    """
    from rich.console import Console  # noqa: PLC0415 - `--help` needs none of it

    from builder.release import difference  # noqa: PLC0415

    with faults_told(content):
        found, follows = difference.difference(before, after, site=out, content=content, as_of=as_of)
    if as_json:
        say(difference.as_json(found, follows), lines=True)
        return 0
    console = Console(highlight=False, markup=False, emoji=False)
    _show(console, found, everything=everything)
    _show_follows(console, follows)
    return 0


def _show(console: Console, found: EditionComparison, *, everything: bool) -> None:
    from builder.history.wording import marked_text  # noqa: PLC0415 - as above

    say(f"{found.before} → {found.after}")
    _figures(console, "Figures that changed", found.substance)
    if everything:
        _figures(console, "Moved with the calendar or with work done", found.passing)
    else:
        say(f"{len(found.passing)} of the figures only moved with the calendar (--all shows them)")
    rows = ((text.subject, text.part, marked_text(text.runs)) for text in found.texts)
    _table(console, "Words that changed", ("Where", "Part", "Words"), rows)


def _figures(console: Console, title: str, changes: Iterable[Change]) -> None:
    rows = (
        (
            change.key,
            change.kind,
            change.before,
            change.after,
            "; ".join(map(str, change.causes)),
            ", ".join((*change.pages, *(f"card {name}" for name in change.cards), *change.documents)),
        )
        for change in changes
    )
    _table(console, title, ("Figure", "How", "Before", "Now", "Because of", "Printed on"), rows)


def _show_follows(console: Console, follows: Reprints) -> None:
    printed = (
        (entry.what, entry.why, entry.code_before, entry.code_after, str(entry.copies), "; ".join(entry.differences))
        for entry in (*follows.cards, *follows.documents)
    )
    columns = ("Card or document", "Why", "Code before", "Code now", "Copies out", "What changed")
    _table(console, "To be printed anew", columns, printed)
    recalls = ((r.holder, r.card, str(r.copies), str(r.revision)) for r in follows.recalls)
    _table(console, "Copies to take back", ("Holder", "Card", "Copies", "Of revision"), recalls)
    briefings = ((b.person, "; ".join(b.subjects)) for b in follows.briefings)
    _table(console, "People to brief on alarms", ("Who", "About"), briefings)


def _table(console: Console, title: str, columns: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> None:
    from rich.table import Table  # noqa: PLC0415 - `--help` needs none of it

    kept = list(rows)
    if not kept:
        say(f"{title}: none")
        return
    table = Table(title=title, title_justify="left")
    for column in columns:
        table.add_column(column, overflow="fold")
    for row in kept:
        table.add_row(*map(visible, row))
    console.print(table)


# ---- evidence ------------------------------------------------------------------------------


@click.command()
@click.option("--out", type=FOLDER, required=True, help="New folder for the pack.")
@site_option("--site", "Published site with the released revisions.")
@content_option
@as_of_option
@quiet_option
def evidence(out: Path, site: Path, content: Path, as_of: date, quiet: bool) -> int:
    r"""Gather what an auditor asks for: one PDF with contents, and the tables behind it as CSV.

    \b
    Examples:
      handbook evidence --out audit-2026
      handbook evidence --out audit-2026 --site /srv/handbook --content my-site --as-of 2026-12-01
    """
    from builder.release.evidence import evidence as gather  # noqa: PLC0415 - `--help` needs none of it

    with faults_told(content), progress(quiet=quiet) as tell:
        pack = gather(content, site, as_of, out, tell=tell)
    if not quiet:
        say(f"{pack.out.as_posix()}: {', '.join(pack.files)} ({pack.pages} pages of the handbook)")
    return 0
