"""The whole examination of a published folder, in order."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TypeAlias

from builder.base.errors import ArchiveError, HandbookError
from builder.history.archive import revision_folders
from builder.history.edition import ABOUT
from builder.publish import checksums
from builder.publish.existing_site import REVISIONS, files_below
from builder.publish.freeze import SNAPSHOT
from builder.verify.report import Check, Report

Rebuild: TypeAlias = Callable[[Path, Path, date], None]
"""Builds a release again: content, output folder, day."""
Redraft: TypeAlias = Callable[[Path, date], None]
"""Builds the draft again: output folder, day."""
Versions: TypeAlias = Mapping[str, str] | None
Tell: TypeAlias = Callable[[str], None]
TOP_ONLY = ("README.md", checksums.NAME, checksums.SIGNATURE, "revisions.html", "cards/status.html")
"""Files of a released site that are other than in its frozen copy."""


def verify(
    root: Path,
    *,
    rebuild: Rebuild | None = None,
    redraft: Redraft | None = None,
    versions: Versions = None,
    tell: Tell = lambda _: None,
) -> Report:
    """Examine a published site, or an evidence pack.

    :param rebuild: also build every frozen revision again and compare byte by byte.
    :param redraft: the same for a draft, which has no content of its own.
    :param versions: what is built with now, so that other bytes can be explained.
    :raises ArchiveError: when ``root`` is no site at all.
    """
    if not (root / checksums.NAME).is_file():
        raise ArchiveError(f"{root} is no published site: it has no {checksums.NAME}")
    report = Report()
    tell("checking checksums")
    check_sums(root, report.check("checksums"), "")
    folders = revision_folders(root)
    for number, folder in folders.items():
        check_sums(folder, report.check("checksums of frozen revisions"), f"{REVISIONS}{number}/")
    _same_as_frozen(root, folders, report.check("released site against its frozen copy"))
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
    for path in files_below(root):
        if path not in TOP_ONLY and not path.startswith(REVISIONS):
            one, other = root / path, folders[number] / path
            same = other.is_file() and one.read_bytes() == other.read_bytes()
            check.expect(same, f"{path} is not what was frozen in {REVISIONS}{number}/")


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
