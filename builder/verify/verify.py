"""The whole examination of a published folder, in order."""

from collections.abc import Callable, Iterable, MutableMapping
from concurrent.futures import Future
from contextlib import suppress
from dataclasses import field
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TypeAlias

from builder import building, pipeline
from builder.base.errors import ArchiveError, HandbookError
from builder.base.record import dataclass
from builder.figures.recompute import recompute
from builder.history.archive import read_archive, revision_folders
from builder.history.edition import ABOUT
from builder.history.ledger_files import FIGURES, read_ledger
from builder.pages.books.book import book_path
from builder.publish import checksums, readme
from builder.publish.existing_site import FROZEN_LIST, REVISIONS
from builder.publish.freeze import SNAPSHOT
from builder.render.jobs import Workshop
from builder.verify.about import made_elsewhere, read_about, same_builder, with_versions
from builder.verify.again import Papers, compare_files
from builder.verify.paper import read_places
from builder.verify.plain import compare_with_data
from builder.verify.reading import Reading
from builder.verify.report import Check, Difference, Report
from builder.verify.sums import UNREAD, check_sums, entries, no_files


def check_ledger(root: Path, prefix: str) -> Check:
    """Calculate again every figure of the edition in the folder ``prefix`` of the site.

    Words that formulas are told in are held where this very builder made it.
    """
    check = Check(LEDGER)
    try:
        ledger = read_ledger(lambda name: (root / prefix / name).read_bytes(), prefix.rstrip("/") or ".")
        found = recompute(ledger.figures, words=not made_elsewhere(root, prefix))
    except (ArchiveError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as fault:
        why = str(fault) if isinstance(fault, ArchiveError) else repr(fault)
        check.expect(False, f"{prefix}{FIGURES}", f"is no ledger that can be calculated again: {why}")
        return check
    check.count += len(ledger.figures) - 1
    check.compared(
        Difference(f"{prefix}{ledger.path_of(one.key)}", f"{one.key}: {one.what}", one.expected, one.found)
        for one in found
    )
    return check


Tell: TypeAlias = Callable[[str], None]
LEDGER = "figures calculated again"
DRAFT = b'<strong class="draft">'
"""Stands on every page of a draft: one without it would pass for released."""
LISTS = (checksums.NAME, checksums.SIGNATURE)
SAID_AGAIN = "files against what the content says again"
OWN_DATA = "pages, cards and forms against the site's own data"


@dataclass()
class Examination:
    """One site being examined."""

    root: Path
    shop: Workshop
    """Does the work again: prints, or only reads what would be printed."""
    content: Path | None
    """Content of the draft, which keeps none."""
    tell: Tell
    hands: Reading
    """Read PDFs; they are those of the shop too, where it only reads."""
    prints: bool
    """Whether the shop prints, so that no PDF need be read."""
    report: Report = field(default_factory=Report)
    papers: Papers = field(init=False)
    ledgers: list[Future[Check]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.papers = Papers(self.hands)

    @cached_property
    def _paths(self) -> list[str]:
        """Every file, also those that systems drop into any folder: who lists one vouches for it."""
        return sorted(path for path, kind in entries(self.root) if not kind)

    @property
    def again(self) -> Check:
        """What is said again."""
        return self.report.check(SAID_AGAIN)

    def whole(self) -> Report:
        """Everything."""
        self.tell("checking checksums")
        check_sums(self.root, self.report.check("checksums"), "")
        if no_files(self.root):
            self.report.check(SAID_AGAIN).add_note(UNREAD)
            return self.report
        folders = revision_folders(self.root)
        drafted = (self.root / ABOUT).is_file()
        for number, folder in folders.items():
            prefix = f"{REVISIONS}{number}/"
            self._begin(prefix)
            check_sums(folder, self.report.check("checksums of frozen revisions"), prefix)
            self._begin_ledger(prefix)
            self._revision(number, folder, on_top=not drafted and number == max(folders))
        if drafted and self.content is not None:
            self._begin("")
        if drafted or not folders:
            self._begin_ledger("")
        if drafted:
            self._draft()
        elif not folders:
            self.again.expect(False, "", f"the site has neither {ABOUT} nor a frozen revision: nothing tells its day")
        self._beside_editions(folders)
        for coming in self.ledgers:
            self.report.check(LEDGER).add(coming.result())
        return self.report

    def _revision(self, number: int, folder: Path, *, on_top: bool) -> None:
        prefix, about = f"{REVISIONS}{number}/", read_about(self.root, f"{REVISIONS}{number}/{ABOUT}", self.again)
        what = f"revision {number}"
        if about is None or not same_builder(about, what, self.again):
            self._by_own_data(prefix)
            if on_top:
                self._by_own_data("")
            return
        self.tell(f"saying {what} again")
        self._read_places(prefix)
        try:
            archive = read_archive(self.root)
            judged = pipeline.judge(folder / SNAPSHOT, date.fromisoformat(about["as_of"]), release=True)
            _, files = building.release_files(judged, folder / SNAPSHOT, archive, shop=self.shop, tell=self.tell)
        except (HandbookError, ValueError) as fault:
            self.again.expect(False, prefix, f"its content cannot be said again: {fault}")
            return
        wanted = {path: data for path, data in files.items() if path.startswith(prefix)}
        self._compare(wanted, f"{prefix}{ABOUT}", lambda path: path.startswith(prefix))
        if on_top:
            wanted = {path: data for path, data in files.items() if not path.startswith(REVISIONS)}
            self._compare(wanted | {readme.NAME: readme.TEXT.encode()}, ABOUT, _on_top)

    def _beside_editions(self, numbers: Iterable[int]) -> None:
        """Among the released revisions stand their folders and the signatures of these, and nothing else."""
        known = [str(number) for number in numbers]
        for path in self._paths:
            kept, _, rest = path.removeprefix(REVISIONS).partition("/")
            if path.startswith(REVISIONS) and (kept if rest else kept.removesuffix(".sig")) not in known:
                self.again.expect(False, path, "is there, though no revision that was released has it")

    def _draft(self) -> None:
        about = read_about(self.root, ABOUT, self.again)
        if self.content is None:
            self.again.add_note("a draft keeps no content: give --content to have all of it said again")
        if about is None or self.content is None or not same_builder(about, "the draft", self.again):
            self._by_own_data("")
            for path in self._files("", ".html"):
                marked = DRAFT in (self.root / path).read_bytes()
                self.report.check(OWN_DATA).expect(
                    marked, path, f"is marked as no draft, though {ABOUT} says it is one"
                )
            return
        self.tell("saying the draft again")
        self._read_places("")
        try:
            day, archive = date.fromisoformat(about["as_of"]), read_archive(self.root)
            judged = pipeline.judge(self.content, day)
            _, files = building.draft_files(judged, self.content, archive, shop=self.shop, tell=self.tell)
        except (HandbookError, ValueError) as fault:
            self.again.expect(False, "", f"the content of the draft cannot be said again: {fault}")
            return
        files[readme.NAME] = readme.TEXT.encode()
        self._compare(files, ABOUT, _on_top)

    def _compare(self, wanted: MutableMapping[str, bytes], about: str, ours: Callable[[str], bool]) -> None:
        """Hold files against what is wanted, which is changed by it; none may be there besides."""
        for path in [path for path in wanted if _is_list(path)]:
            del wanted[path]
        if about in wanted:  # with what it was made is told by nothing else
            wanted[about] = with_versions(wanted[about], self.root / about)
        compare_files(self.root, wanted, self.again, self.papers)
        for path in self._paths:
            if ours(path) and path not in wanted and not _is_list(path):
                self.again.expect(False, path, "is there, though nothing in the content makes it")

    def _read_places(self, prefix: str) -> None:
        """Where places lie in the books of an edition, since contents and indexes print the numbers of their pages."""
        for path in sorted((self.root / prefix).glob(book_path("*"))):
            with suppress(ArchiveError, OSError):  # told when it is compared
                self.hands.place(*read_places(path.read_bytes(), path.name))

    def _begin(self, prefix: str) -> None:
        """Have the PDFs of an edition read meanwhile, where they will be compared."""
        if not self.prints and not made_elsewhere(self.root, prefix):
            self.papers.read(self.root / path for path in self._files(prefix, ".pdf"))

    def _begin_ledger(self, prefix: str) -> None:
        """Have the ledger of an edition calculated again meanwhile."""
        self.report.check(LEDGER)  # told in this place
        self.ledgers.append(self.hands.begin(check_ledger, self.root, prefix))

    def _by_own_data(self, prefix: str) -> None:
        compare_with_data(self.root, prefix, self._files(prefix, ".html"), self.report.check(OWN_DATA))

    def _files(self, prefix: str, ending: str) -> list[str]:
        """Files of an edition by the ending of their names."""
        found = (path for path in self._paths if path.startswith(prefix) and path.endswith(ending))
        return [path for path in found if prefix or not path.startswith(REVISIONS)]


def verify(
    root: Path, *, content: Path | None = None, shop: Workshop | None = None, jobs: int = 1, tell: Tell = lambda _: None
) -> Report:
    """Examine a published site.

    :param content: content of a draft, which keeps none of its own.
    :param shop: prints everything again, so that PDFs are compared byte by byte; without it their words are.
    :param jobs: processes that read, where nothing is printed.
    :raises ArchiveError: when ``root`` is no site at all.
    """
    if not (root / checksums.NAME).is_file():
        raise ArchiveError(f"{root} is no published site: it has no {checksums.NAME}")
    with Reading(1 if shop else jobs) as hands, Workshop(executor=hands) as reading:
        return Examination(root, shop or reading, content, tell, hands, prints=shop is not None).whole()


def _is_list(path: str) -> bool:
    """Whether it is the list of the site or of a revision, or the signature of that; they are held by themselves."""
    return path in LISTS or FROZEN_LIST.fullmatch(path) is not None


def _on_top(path: str) -> bool:
    return not path.startswith(REVISIONS)
