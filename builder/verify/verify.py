"""The whole examination of a published folder, in order."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeAlias

from builder.base.errors import ArchiveError, HandbookError
from builder.history.archive import revision_folders
from builder.publish import checksums
from builder.publish.versions import versions
from builder.verify.ledgers import check_ledger, check_tables, check_words
from builder.verify.paper import Paper
from builder.verify.printed import check_links, check_pages, check_papers
from builder.verify.report import Check, Report
from builder.verify.site import REVISIONS, SNAPSHOT, Site

Rebuild: TypeAlias = Callable[[Path, Path, date], None]
"""Builds a release again: content, output folder, day."""
Tell: TypeAlias = Callable[[str], None]
TOP_ONLY = ("README.md", checksums.NAME, checksums.SIGNATURE, "numbers.json", "revisions.html", "cards/status.html")
"""Files of a released site that are other than in its frozen copy."""
SHOWN = 5


def verify(
    root: Path,
    *,
    rebuild: Rebuild | None = None,
    tell: Tell = lambda _: None,
    papers: dict[bytes, Paper] | None = None,
) -> Report:
    """Examine a published site.

    :param rebuild: also build every frozen revision again and compare byte by byte.
    :param papers: PDFs that were read before, by their bytes; those read now are added.
    :raises ArchiveError: when ``root`` is no site at all.
    """
    if not (root / checksums.NAME).is_file():
        raise ArchiveError(f"{root} is no published site: it has no {checksums.NAME}")
    report = Report()
    tell("checking checksums")
    check_sums(root, report.check("checksums"), "")
    known = {} if papers is None else papers
    folders = revision_folders(root)
    _edition(Site(root), report, known, tell, "the site")
    for number, folder in folders.items():
        check_sums(folder, report.check("checksums of frozen revisions"), f"{REVISIONS}{number}/")
        _edition(Site(folder, f"{REVISIONS}{number}/"), report, known, tell, f"revision {number}")
    _same_as_frozen(root, folders, report.check("released site against its frozen copy"))
    again = report.check("revisions built again")
    if rebuild is None:
        again.note = "not asked for (--rebuild)"
    else:
        for number, folder in folders.items():
            tell(f"building revision {number} again")
            _rebuilt(root, number, folder, rebuild, again)
    return report


def check_sums(root: Path, check: Check, prefix: str) -> None:
    """Every listed file is there with its bytes, and no other file is."""
    try:
        listed = checksums.read_sums((root / checksums.NAME).read_bytes())
    except (OSError, HandbookError) as fault:
        check.expect(False, f"{prefix}{checksums.NAME}: {fault}")
        return
    for path, digest in listed.items():
        file = root / path
        wrong = f"is listed in {checksums.NAME}, but missing" if not file.is_file() else ""
        if not wrong and checksums.digest_file(file) != digest:
            wrong = f"is not what {checksums.NAME} lists: it was changed"
        check.expect(not wrong, f"{prefix}{path} {wrong}")
    there = {path.relative_to(root).as_posix() for path in root.rglob("*") if path.is_file() or path.is_symlink()}
    for path in sorted(there - set(listed) - {checksums.NAME}):
        if not path.endswith(".sig"):  # a signature vouches for itself
            check.expect(False, f"{prefix}{path} is not listed in {checksums.NAME}: nobody vouches for it")


def _edition(site: Site, report: Report, known: dict[bytes, Paper], tell: Tell, name: str) -> None:
    """Everything that can be read in one edition; a file that cannot be read ends that part only."""
    steps: tuple[tuple[str, Callable[[], None]], ...] = (
        ("pages", lambda: check_pages(site, report)),
        ("figures", lambda: check_ledger(site, report)),
        ("tables", lambda: check_tables(site, report)),
        ("words", lambda: check_words(site, report)),
        ("links", lambda: check_links(site, report)),
        ("PDFs", lambda: check_papers(site, report, known)),
    )
    for what, step in steps:
        tell(f"reading {what} of {name}")
        try:
            step()
        except ArchiveError as fault:
            report.check("files that can be read").expect(False, str(fault))
        except (KeyError, TypeError, AttributeError, ValueError) as fault:
            words = f"{site.at('') or 'the site'}: the {what} are not of the form that a builder writes: {fault!r}"
            report.check("files that can be read").expect(False, words)


def _same_as_frozen(root: Path, folders: dict[int, Path], check: Check) -> None:
    """A released site is its own latest frozen copy, but for the pages that link to frozen copies."""
    name = (
        json.loads((root / "figures.json").read_bytes()).get("revision", "")
        if (root / "figures.json").is_file()
        else ""
    )
    number = next((n for n in folders if name == f"Revision {n}"), None)
    if number is None:
        check.note = "the site is a draft" if name.startswith("Draft") else "the site has no frozen copy of itself"
        return
    own, frozen = Site(root), Site(folders[number], f"{REVISIONS}{number}/")
    for path in own.files:
        if path not in TOP_ONLY:
            same = frozen.has(path) and frozen.data(path) == own.data(path)
            check.expect(same, f"{path} is not what was frozen in {frozen.prefix}")


def _rebuilt(root: Path, number: int, folder: Path, rebuild: Rebuild, check: Check) -> None:
    """A revision built again from its own content, beside the revisions before it, gives the same bytes."""
    about = json.loads((folder / "about.json").read_bytes())
    then, now = about["versions"], versions()
    other = [f"{name} {then.get(name)} then, {now.get(name)} now" for name in now if then.get(name) != now[name]]
    if other:
        check.note = f"revision {number} not built again: {', '.join(other)}"
        return
    with TemporaryDirectory(prefix="handbook-verify-") as name:
        out = Path(name) / "site"
        for earlier, path in revision_folders(root).items():
            if earlier < number:
                _copy(path, out / REVISIONS / str(earlier))
        if out.exists():
            (out / "README.md").write_bytes((root / "README.md").read_bytes())
        try:
            rebuild(folder / SNAPSHOT, out, date.fromisoformat(about["as_of"]))
        except HandbookError as fault:
            check.expect(False, f"{REVISIONS}{number}/ cannot be built again: {fault}")
            return
        _compare(folder, out / REVISIONS / str(number), f"{REVISIONS}{number}/", check)


def _copy(old: Path, new: Path) -> None:
    for path in sorted(old.rglob("*")):
        if path.is_file():
            target = new / path.relative_to(old)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(path.read_bytes())


def _compare(old: Path, new: Path, prefix: str, check: Check) -> None:
    names = {
        path.relative_to(folder).as_posix() for folder in (old, new) for path in folder.rglob("*") if path.is_file()
    }
    for name in sorted(names):
        one, other = old / name, new / name
        same = one.is_file() and other.is_file() and one.read_bytes() == other.read_bytes()
        check.expect(same, f"{prefix}{name} is not what its content gives when built again")
