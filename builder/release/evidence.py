"""The evidence pack: one PDF with contents, and the tables behind it, in a folder of their own; made and examined."""

import json
from collections.abc import Sequence
from contextlib import suppress
from datetime import date
from pathlib import Path

from builder import pipeline
from builder.base.errors import ArchiveError, HandbookError, UsageError
from builder.base.record import dataclass
from builder.base.telling import Tell, silent
from builder.history.archive import Past, read_archive
from builder.history.edition import ABOUT
from builder.history.ledger_files import FIGURES
from builder.history.resolved_findings import courses
from builder.pages.compositions import Page
from builder.pages.evidence import SECTIONS, evidence_pages, evidence_tables
from builder.publish import checksums
from builder.publish.csv_text import csv_bytes
from builder.publish.existing_site import released_digests
from builder.publish.ledger_json import draft_json
from builder.publish.new_folder import refuse_filled, write_new
from builder.render.jobs import Workshop
from builder.verify.about import read_about, same_builder, with_versions
from builder.verify.again import Papers, compare_files
from builder.verify.paper import read_places
from builder.verify.reading import Reading
from builder.verify.report import Check, Report
from builder.verify.sums import UNREAD, check_sums, no_files


def print_pack(
    composed: pipeline.Composed, pages: Sequence[Page], sections: Sequence[tuple[str, str]], shop: Workshop
) -> bytes:
    """A PDF with cover, contents, these pages and an index, a chapter a section (id, title).

    :raises FitError: with every fault of every page.
    :raises RenderError: when the engine cannot set it faithfully.
    """
    from builder.pages.books.book import Book, BookChapter  # noqa: PLC0415 - as below
    from builder.pages.books.condensed import parted  # noqa: PLC0415 - as below
    from builder.pages.books.index import index_of  # noqa: PLC0415 - as below
    from builder.pages.handbook.handbook_context import names_of  # noqa: PLC0415 - as below
    from builder.render.book import Bindery, Printing  # noqa: PLC0415 - templates are loaded at first need
    from builder.render.markup import SiteFacts  # noqa: PLC0415

    judged = composed.judged
    facts = pipeline.site_facts(judged, draft=True)
    state = str(facts["revision"]).removeprefix("Draft ")
    about = SiteFacts(**{**facts, "draft": False, "revision": f"Evidence {state}"})
    chapters = tuple(
        BookChapter(title=title, pages=tuple(parted(page) for page in pages if page.section == name))
        for name, title in sections
        if any(page.section == name for page in pages)
    )
    book = Book(
        id="evidence",
        title="Evidence",
        purpose="For an auditor: what the program is, what it rests on and how it was kept.",
        chapters=chapters,
        index=index_of(pages, names_of(judged.program)),
    )
    own = {page.id: page.path for page in pages}
    printing = Printing(
        figures=judged.ledger.figures,
        hrefs={**composed.book_hrefs, **own},
        about=about,
        paper=judged.program.site.paper.value,
    )
    bindery = Bindery((book,), printing)
    bindery.start(shop)
    return bindery.bound(shop).files[book.path]


BOOK = "evidence.pdf"
"""By this file ``verify`` knows a pack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """What was written."""

    out: Path
    pages: int
    """Pages of the handbook that went in."""
    files: tuple[str, ...]


def evidence(content: Path, site: Path, as_of: date, out: Path, *, tell: Tell = silent) -> Pack:
    """Write the pack of a program into a new folder ``out``; ``site`` has the released revisions.

    :raises UsageError: when ``site`` is no published site, or that of another place.
    :raises PublishError: when ``out`` holds anything already, or a released revision of ``site`` was changed.
    :raises ContentError: when the content is wrong.
    """
    refuse_filled(out)
    with Workshop() as shop:
        files, pages = pack_files(content, site, as_of, shop=shop, tell=tell)
    files[checksums.NAME] = checksums.write_sums({name: checksums.digest(data) for name, data in files.items()})
    write_new(files, out)
    return Pack(out=out, pages=pages, files=tuple(sorted(files)))


def pack_files(
    content: Path, site: Path, as_of: date, *, shop: Workshop, tell: Tell = silent
) -> tuple[dict[str, bytes], int]:
    """Name -> bytes of all of the pack but its checksums, and how many pages of the handbook went in.

    :raises UsageError: as ``evidence``.
    :raises ContentError: as ``evidence``.
    """
    judged = pipeline.judge(content, as_of, tell)
    refuse_other_site(site, judged.program.site.name.value)
    released_digests(site)  # what was changed since it was released is no evidence
    composed = pipeline.compose(judged, tell=tell, past=Past(read_archive(site)))
    found = courses(site, judged.findings)
    pages = evidence_pages(composed.single, judged.program, found)
    tell("printing the evidence pack")
    files = {
        BOOK: print_pack(composed, pages, [(name, title) for name, title, _ in SECTIONS], shop),
        ABOUT: draft_json(as_of.isoformat()),
    }
    for table in (*composed.outputs.tables, *evidence_tables(judged.program, found)):
        files[Path(table.path).name] = csv_bytes(table.columns, table.rows)
    return files, len(pages)


def refuse_other_site(site: Path, name: str) -> None:
    """Stop before releases that are not there, or are another site's, pass for those of this one.

    :param name: of the site that the content tells of.
    :raises UsageError: naming what is there.
    """
    path = site / FIGURES
    if not path.is_file():
        raise UsageError(f"{site} is no published site: it has no {FIGURES}; allowed: a folder that a build made")
    try:
        found = json.loads(path.read_bytes())["site"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as fault:
        raise UsageError(f"{path} does not name its site: {fault!r}") from fault
    if found != name:
        raise UsageError(f"{site} is the handbook of {found!r}, but the content tells of {name!r}")


# ---- a pack examined -----------------------------------------------------------------------


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
