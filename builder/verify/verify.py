"""The whole examination of a published folder, in order."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeAlias

from builder.base.errors import ArchiveError, HandbookError
from builder.history.archive import revision_folders
from builder.history.edition import ABOUT
from builder.publish import checksums
from builder.verify.calendars import check_calendars
from builder.verify.index import INDEX, RECORDS, check_index
from builder.verify.ledgers import check_ledger, check_scripts
from builder.verify.paper import Paper
from builder.verify.printed import check_links, check_numbers, check_pages, check_papers
from builder.verify.report import Check, Report
from builder.verify.site import REVISIONS, SNAPSHOT, Site
from builder.verify.tables import check_tables
from builder.verify.words import check_words

Rebuild: TypeAlias = Callable[[Path, Path, date], None]
"""Builds a release again: content, output folder, day."""
Redraft: TypeAlias = Callable[[Path, date], None]
"""Builds the draft again: output folder, day."""
Versions: TypeAlias = Mapping[str, str] | None
Tell: TypeAlias = Callable[[str], None]
TOP_ONLY = ("README.md", checksums.NAME, checksums.SIGNATURE, "numbers.json", "revisions.html", "cards/status.html")
"""Files of a released site that are other than in its frozen copy."""
ALONE = {".css": "style", ".js": "scripts", ".woff2": "type"}
"""Ending of files that only their checksum covers, and what they are; data handed to scripts is held against more."""
ALONE_TOLD = "files that only their checksum covers"
PACK = "evidence.pdf"
"""What an evidence pack holds and a site does not."""
DERIVATIONS = "assets/derivations/"
READABLE = "files that can be read"
Part: TypeAlias = Callable[[Site, Report], object]
CHECKS: tuple[tuple[str, Part], ...] = (
    ("pages", check_pages),
    ("figures", check_ledger),
    ("scripts", check_scripts),
    ("tables", check_tables),
    ("calendars", check_calendars),
    ("the search index", check_index),
    ("words", check_words),
    ("links", check_links),
)
"""What is examined of each edition, and by whom; PDFs come last."""


def verify(
    root: Path,
    *,
    rebuild: Rebuild | None = None,
    redraft: Redraft | None = None,
    versions: Versions = None,
    tell: Tell = lambda _: None,
    papers: dict[bytes, Paper] | None = None,
) -> Report:
    """Examine a published site, or an evidence pack: its checksums, and every number in its PDF.

    :param rebuild: also build every frozen revision again and compare byte by byte.
    :param redraft: the same for a draft, which has no content of its own.
    :param versions: what is built with now, so that other bytes can be explained.
    :param papers: PDFs that were read before, by their bytes; those read now are added.
    :raises ArchiveError: when ``root`` is no site at all.
    """
    if not (root / checksums.NAME).is_file():
        raise ArchiveError(f"{root} is no published site: it has no {checksums.NAME}")
    report = Report()
    tell("checking checksums")
    check_sums(root, report.check("checksums"), "")
    known = {} if papers is None else papers
    if (root / PACK).is_file():
        tell("reading the evidence pack")
        _one(Site(root), report, "evidence pack", lambda site, report: check_numbers(site, report, known))
        _by_checksum_alone(root, report.check(ALONE_TOLD), {".csv": "tables"})
        return report
    folders = revision_folders(root)
    _edition(Site(root), report, known, tell, "the site")
    for number, folder in folders.items():
        check_sums(folder, report.check("checksums of frozen revisions"), f"{REVISIONS}{number}/")
        _edition(Site(folder, f"{REVISIONS}{number}/"), report, known, tell, f"revision {number}")
    _same_as_frozen(root, folders, report.check("released site against its frozen copy"))
    _by_checksum_alone(root, report.check(ALONE_TOLD), ALONE)
    again = report.check("revisions built again")
    if rebuild is None:
        again.note = "not asked for (--rebuild)"
    else:
        for number, folder in folders.items():
            tell(f"building revision {number} again")
            _rebuilt(root, number, folder, rebuild, again, versions)
    if _is_draft(root):
        again = report.check("draft built again")
        if redraft is None:
            again.note = "not asked for (--rebuild with --content)"
        else:
            tell("building the draft again")
            _redrafted(root, redraft, again, versions)
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
    """Everything that can be read in one edition."""
    for what, check in CHECKS:
        tell(f"reading {what} of {name}")
        _one(site, report, what, check)
    tell(f"reading PDFs of {name}")
    _one(site, report, "PDFs", lambda site, report: check_papers(site, report, known))


def examined(site: Site, checks: Iterable[Part]) -> Report:
    """What some of the checks alone find."""
    report = Report()
    for check in checks:
        _one(site, report, "files", check)
    return report


def _one(site: Site, report: Report, what: str, check: Part) -> None:
    """One part of the examination; a file that cannot be read ends that part only."""
    try:
        check(site, report)
    except ArchiveError as fault:
        report.check(READABLE).expect(False, str(fault))
    except (KeyError, TypeError, AttributeError, ValueError, IndexError) as fault:
        words = f"{site.at('') or 'the site'}: the {what} are not of the form that a builder writes: {fault!r}"
        report.check(READABLE).expect(False, words)


def _named(root: Path) -> str:
    """What the edition at the top calls itself."""
    path = root / "figures.json"
    return str(json.loads(path.read_bytes()).get("revision", "")) if path.is_file() else ""


def _is_draft(root: Path) -> bool:
    return _named(root).startswith("Draft")


def _same_as_frozen(root: Path, folders: dict[int, Path], check: Check) -> None:
    """A released site is its own latest frozen copy, but for the pages that link to frozen copies."""
    name = _named(root)
    number = next((n for n in folders if name == f"Revision {n}"), None)
    if number is None:
        check.note = "the site is a draft" if _is_draft(root) else "the site has no frozen copy of itself"
        return
    own, frozen = Site(root), Site(folders[number], f"{REVISIONS}{number}/")
    for path in own.files:
        if path not in TOP_ONLY:
            same = frozen.has(path) and frozen.data(path) == own.data(path)
            check.expect(same, f"{path} is not what was frozen in {frozen.prefix}")


def _by_checksum_alone(root: Path, check: Check, alone: Mapping[str, str]) -> None:
    """Counts what nothing else in the site can be held against: a mended checksum hides a change there."""
    kinds: Counter[str] = Counter()
    for path in sorted(path for path in root.rglob("*") if path.is_file()):
        name = path.relative_to(root).as_posix()
        if name.startswith((SNAPSHOT, REVISIONS)) and f"/{SNAPSHOT}" in f"/{name}":
            kinds["content"] += 1
        elif path.suffix in alone and DERIVATIONS not in name and not name.endswith((INDEX, RECORDS)):
            kinds[alone[path.suffix]] += 1
    check.count = kinds.total()
    told = ", ".join(f"{count} of {kind}" for kind, count in sorted(kinds.items()))
    check.note = f"{told}; strokes of drawings as well. A signature or --rebuild covers them" if told else ""


def _rebuilt(root: Path, number: int, folder: Path, rebuild: Rebuild, check: Check, now: Versions) -> None:
    """A revision built again from its own content, beside the revisions before it, gives the same bytes."""
    about = json.loads((folder / ABOUT).read_bytes())
    with TemporaryDirectory(prefix="handbook-verify-") as name:
        out = Path(name) / "site"
        _beside(root, out, lambda earlier: earlier < number)
        try:
            rebuild(folder / SNAPSHOT, out, date.fromisoformat(about["as_of"]))
        except HandbookError as fault:
            check.expect(False, f"{REVISIONS}{number}/ cannot be built again{_with_others(about, now)}: {fault}")
            return
        _compare(folder, out / REVISIONS / str(number), f"{REVISIONS}{number}/", check)
    _explain(check, about, now, f"revision {number}")


def _redrafted(root: Path, redraft: Redraft, check: Check, now: Versions) -> None:
    """A draft built again beside the same revisions gives the same bytes."""
    about = json.loads((root / ABOUT).read_bytes())
    with TemporaryDirectory(prefix="handbook-verify-") as name:
        out = Path(name) / "site"
        _beside(root, out, lambda _: True)
        try:
            redraft(out, date.fromisoformat(about["as_of"]))
        except HandbookError as fault:
            check.expect(False, f"the draft cannot be built again{_with_others(about, now)}: {fault}")
            return
        _compare(root, out, "", check, besides=(REVISIONS, checksums.NAME))
    _explain(check, about, now, "the draft")


def _explain(check: Check, about: Mapping[str, Any], now: Versions, what: str) -> None:
    """Say with what other versions an edition was made, which can be why its bytes differ."""
    others = other_versions(about["versions"], now)
    if others:
        check.note = f"{check.note}; " * bool(check.note) + f"{what} was made with other versions: {', '.join(others)}"


def _with_others(about: Mapping[str, Any], now: Versions) -> str:
    others = other_versions(about["versions"], now)
    return f" ({', '.join(others)})" if others else ""


def other_versions(then: Mapping[str, str], now: Versions) -> list[str]:
    """Each version that is another ``now`` than ``then``, in words; nothing where it is not known.

    >>> other_versions({"pango": "1.50.12", "zlib": "1"}, {"pango": "1.54.0", "zlib": "1"})
    ['pango 1.50.12 then, 1.54.0 now']
    """
    if now is None:
        return []
    return [
        f"{name} {then.get(name, 'not told')} then, {now.get(name, 'not told')} now"
        for name in dict.fromkeys((*now, *then))
        if then.get(name) != now.get(name)
    ]


def _beside(root: Path, out: Path, wanted: Callable[[int], bool]) -> None:
    """Lay the revisions of a site that are wanted where another one is going to be built."""
    for number, path in revision_folders(root).items():
        if wanted(number):
            _copy(path, out / REVISIONS / str(number))
    if out.exists():
        (out / "README.md").write_bytes((root / "README.md").read_bytes())


def _copy(old: Path, new: Path) -> None:
    for path in sorted(old.rglob("*")):
        if path.is_file():
            target = new / path.relative_to(old)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(path.read_bytes())


def _compare(old: Path, new: Path, prefix: str, check: Check, besides: tuple[str, ...] = ()) -> None:
    names = {
        path.relative_to(folder).as_posix() for folder in (old, new) for path in folder.rglob("*") if path.is_file()
    }
    for name in sorted(name for name in names if not (besides and name.startswith(besides))):
        one, other = old / name, new / name
        same = one.is_file() and other.is_file() and one.read_bytes() == other.read_bytes()
        check.expect(same, f"{prefix}{name} is not what its content gives when built again")
