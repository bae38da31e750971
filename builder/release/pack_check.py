"""An evidence pack examined: its checksums, and all of it said again where content and site are at hand."""

from contextlib import suppress
from datetime import date
from pathlib import Path

from builder.base.errors import ArchiveError, HandbookError
from builder.base.telling import Tell, silent
from builder.history.edition import ABOUT
from builder.history.ledger_files import FIGURES
from builder.publish import checksums
from builder.release.evidence import BOOK, pack_files
from builder.render.jobs import Workshop
from builder.verify.about import read_about, same_builder, with_versions
from builder.verify.again import Papers, compare_files
from builder.verify.paper import read_places
from builder.verify.reading import Reading
from builder.verify.report import Check, Report
from builder.verify.sums import UNREAD, check_sums, no_files

WHAT = "files of the pack against what content and site say again"
NEEDS = (
    "an evidence pack holds copies for an auditor, neither content nor revisions: to have it said again give --content "
    "and --site as they were when it was made"
)


def is_pack(root: Path) -> bool:
    """Whether a folder is an evidence pack: it has no pages, as a site has, whose words would go unread."""
    return (root / BOOK).is_file() and not ((root / FIGURES).is_file() or any(root.glob("**/*.html")))


def verify_pack(
    root: Path, *, of: Path | None = None, content: Path | None = None, jobs: int = 1, tell: Tell = silent
) -> Report:
    """Examine an evidence pack.

    :param of: the published site with the revisions that it tells of.
    :param content: the content that it was made from.
    :param jobs: processes that read.
    """
    report = Report()
    tell("checking checksums")
    check_sums(root, report.check("checksums"), "")
    again = report.check(WHAT)
    if no_files(root):
        again.add_note(UNREAD)
        return report
    if of is None or content is None:
        again.add_note(NEEDS)
        return report
    about = read_about(root, ABOUT, again)
    if about is not None and same_builder(about, "the pack", again):
        tell("saying the pack again")
        with Reading(jobs) as hands:
            _say_again(root, of, content, date.fromisoformat(about["as_of"]), hands, again)
    return report


def _say_again(root: Path, of: Path, content: Path, day: date, hands: Reading, again: Check) -> None:
    with suppress(ArchiveError):  # told when it is compared
        hands.place(*read_places((root / BOOK).read_bytes(), BOOK))
    try:
        with Workshop(executor=hands) as shop:
            files, _ = pack_files(content, of, day, shop=shop)
    except (HandbookError, ValueError) as fault:
        again.expect(False, "", f"the pack cannot be said again: {fault}")
        return
    files[ABOUT] = with_versions(files[ABOUT], root / ABOUT)
    compare_files(root, files, again, Papers(hands))
    for path in sorted(root.iterdir()):
        if path.name not in (*files, checksums.NAME, checksums.SIGNATURE):
            again.expect(False, path.name, "is there, though nothing in content and site makes it")
