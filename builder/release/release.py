"""Releasing: refused unless all holds, published with its frozen copy, entered in the content at the very end."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from itertools import combinations, pairwise
from pathlib import Path
from shutil import rmtree

from builder import building, pipeline
from builder.base.errors import PublishError
from builder.base.record import dataclass
from builder.base.telling import Tell, silent
from builder.history.archive import read_folder
from builder.program.program import Program
from builder.program.revisions import who_is_meant
from builder.publish.existing_site import REVISIONS, some
from builder.publish.freeze import SNAPSHOT, snapshot
from builder.publish.lock import only_build
from builder.publish.staging import reserved
from builder.publish.unfinished import forget, noted, scratch, sync_folder
from builder.render.jobs import Workshop

FOLDER = "revisions"
COPY = "release"
"""Kind of the folder beside the site that holds a copy of the content while a release is made."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseRequest:
    """The revision somebody wants to release."""

    number: int
    effective: date | None
    """``None`` for the day of the release."""
    reason: str
    prepared: str
    reviewed: str
    approved: str
    reviewed_on: date | None = None
    approved_on: date | None = None

    def on(self, day: date) -> ReleaseRequest:
        """The same with the day from which it is in force."""
        return self if self.effective else replace(self, effective=day)

    def as_yaml(self) -> str:
        """The file that tells of it; texts are quoted, so nothing in them can become YAML."""
        assert self.effective is not None  # noqa: S101 - ``on`` saw to it
        texts = (
            f"{name}: {json.dumps(getattr(self, name), ensure_ascii=False)}\n"
            for name in ("reason", "prepared", "reviewed", "approved")
        )
        signed = {"reviewed-on": self.reviewed_on, "approved-on": self.approved_on}
        days = (f"{name}: {day.isoformat()}\n" for name, day in signed.items() if day)
        return f"number: {self.number}\neffective: {self.effective.isoformat()}\n" + "".join((*texts, *days))


def release(
    content: Path, out: Path, as_of: date, asked: ReleaseRequest, *, shop: Workshop | None = None, tell: Tell = silent
) -> building.Built | None:
    """Release ``asked``: publish it, freeze it, then write ``revisions/N.yaml``.

    Everything is made from a copy of the content that tells of the revision already. Killed before the site is
    swapped in, nothing has changed; killed between that and the last step, the same call completes it, on any day.

    :returns: what was built, or ``None`` where only the last step was left.
    :raises PublishError: when the release is refused.
    :raises ContentError: when the content is wrong.
    """
    target, site = content / FOLDER / f"{asked.number}.yaml", Path(os.path.realpath(out))
    site.parent.mkdir(parents=True, exist_ok=True)
    with only_build(site.with_name(f"{site.name}.{COPY}")):
        for left in noted(site, COPY):
            rmtree(left, ignore_errors=True)
        forget(site, COPY)
        entry = published_entry(content, out, asked)
        if entry:
            with reserved(out, content):  # clears away what the killed one left beside the site
                enter(target, entry)
            return None
        judged = pipeline.judge(content, as_of, tell, release=True)
        wanted = asked.on(as_of)
        refuse(judged.program, wanted)
        with _copied(content, site) as copy:
            _put(copy / FOLDER / target.name, wanted.as_yaml().encode())
            built = building.build(copy, out, as_of, release=True, shop=shop, tell=tell)
    enter(target, wanted.as_yaml().encode())
    return built


@contextmanager
def _copied(content: Path, site: Path) -> Iterator[Path]:
    """A copy of the content beside the site, where the next release clears away what a killed one left."""
    with scratch(site, COPY) as folder:
        folder.mkdir()
        copy = folder / content.resolve().name
        for name, data in snapshot(content).items():
            _put(copy / name, data)
        yield copy


def published_entry(content: Path, out: Path, asked: ReleaseRequest) -> bytes:
    """The entry of a revision that the site holds and the content does not tell of yet; empty where there is none.

    :raises PublishError: when it was released from other content, or with other names, reason or day.
    """
    frozen, name = out / FOLDER / str(asked.number), f"{FOLDER}/{asked.number}.yaml"
    if (content / name).exists() or not (frozen / SNAPSHOT / name).is_file():
        return b""
    kept = snapshot(frozen / SNAPSHOT)
    entry, now = kept.pop(name), snapshot(content)
    differ = sorted(path for path in kept.keys() | now.keys() if kept.get(path) != now.get(path))
    day = read_folder(frozen).about
    wanted = asked.on(date.fromisoformat(day.effective)) if day else asked
    if differ or wanted.as_yaml().encode() != entry:
        what = some(differ) if differ else "its date, reason or names"
        raise PublishError(
            f"the site holds revision {asked.number} already, made from other content: {what}; allowed: the same "
            f"command and content, or copy {REVISIONS}{asked.number}/{SNAPSHOT}{name} of the site into the content"
        )
    return entry


def refuse(program: Program, asked: ReleaseRequest) -> None:
    """Stop what may not be released, naming what is allowed.

    :raises PublishError: for a number that is not the next one, a date before the last revision, an empty text, or
        one person in two parts where the site demands different ones.
    """
    last, effective = program.revision, asked.effective
    wanted = last.number.value + 1 if last else 1
    if asked.number != wanted:
        found = f"revision {last.number.value} is the last one" if last else "no revision was released yet"
        raise PublishError(f"number {asked.number} is refused: {found}; allowed: {wanted}")
    if last is not None and effective is not None and effective < last.effective.value:
        raise PublishError(
            f"effective {effective.isoformat()} is before revision {last.number.value}; "
            f"allowed: {last.effective.value.isoformat()} or later"
        )
    for name in ("reason", "prepared", "reviewed", "approved"):
        if not getattr(asked, name).strip():
            raise PublishError(f"{name} is empty; allowed: a text")
    days = [(name, day) for name, day in (
        ("reviewed", asked.reviewed_on), ("approved", asked.approved_on), ("effective", effective)) if day]  # fmt: skip
    for (before, early), (after, late) in pairwise(days):
        if late < early:
            raise PublishError(f"{after} on {late.isoformat()} is before {before} on {early.isoformat()}")
    if program.site.document.different_persons:
        _refuse_one_person(asked)


def _refuse_one_person(asked: ReleaseRequest) -> None:
    for one, other in combinations(("prepared", "reviewed", "approved"), 2):
        if who_is_meant(getattr(asked, one)) == who_is_meant(getattr(asked, other)):
            raise PublishError(
                f"{one} and {other} are both {getattr(asked, one)!r}; site.yaml asks for different persons"
            )


def enter(target: Path, data: bytes) -> None:
    """Write the file in one step.

    :raises PublishError: when the disk refuses; the site is published then, and the same call completes the release.
    """
    new = target.with_name(f".{target.name}.new")
    try:
        target.parent.mkdir(exist_ok=True)
        with new.open("wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        new.replace(target)
        sync_folder(target.parent)
    except OSError as fault:
        raise PublishError(
            f"the site holds the release, but {target} could not be written: {fault}; give the same command again"
        ) from fault


def _put(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
