"""Releasing: refused unless all holds, published with its frozen copy, entered in the content at the very end."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory

from builder import pipeline
from builder.base.errors import PublishError
from builder.program.program import Program
from builder.publish.atomic_replace import sync_folder
from builder.publish.freeze import snapshot
from builder.render.jobs import Workshop

FOLDER = "revisions"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseRequest:
    """The revision somebody wants to release."""

    number: int
    effective: date
    reason: str
    prepared: str
    reviewed: str
    approved: str

    def as_yaml(self) -> str:
        """The file that tells of it; texts are quoted, so nothing in them can become YAML."""
        texts = (
            f"{name}: {json.dumps(getattr(self, name), ensure_ascii=False)}\n"
            for name in ("reason", "prepared", "reviewed", "approved")
        )
        return f"number: {self.number}\neffective: {self.effective.isoformat()}\n" + "".join(texts)


def release(
    content: Path,
    out: Path,
    as_of: date,
    asked: ReleaseRequest,
    *,
    shop: Workshop | None = None,
    tell: Callable[[str], None] = pipeline.silent,
) -> pipeline.Built:
    """Release ``asked``: publish it, freeze it, then write ``revisions/N.yaml``.

    Everything is made from a copy of the content that tells of the revision already. Killed before the site is
    swapped in, nothing has changed; killed between that and the last step, the same call again completes it.

    :raises PublishError: when the release is refused.
    :raises ContentError: when the content is wrong.
    """
    judged = pipeline.judge(content, as_of, tell, release=True)
    refuse(judged.program, asked)
    target = content / FOLDER / f"{asked.number}.yaml"
    with TemporaryDirectory(prefix="handbook-release-") as folder:
        staged = Path(folder) / content.resolve().name
        for name, data in snapshot(content).items():
            _put(staged / name, data)
        _put(staged / FOLDER / target.name, asked.as_yaml().encode())
        built = pipeline.build(staged, out, as_of, release=True, shop=shop, tell=tell)
    enter(target, asked.as_yaml().encode())
    return built


def refuse(program: Program, asked: ReleaseRequest) -> None:
    """Stop what may not be released, naming what is allowed.

    :raises PublishError: for a number that is not the next one, a date before the last revision, an empty text, or
        one person in two parts where the site demands different ones.
    """
    last = program.revision
    wanted = last.number.value + 1 if last else 1
    if asked.number != wanted:
        found = f"revision {last.number.value} is the last one" if last else "no revision was released yet"
        raise PublishError(f"number {asked.number} is refused: {found}; allowed: {wanted}")
    if last is not None and asked.effective < last.effective.value:
        raise PublishError(
            f"effective {asked.effective.isoformat()} is before revision {last.number.value}; "
            f"allowed: {last.effective.value.isoformat()} or later"
        )
    for name in ("reason", "prepared", "reviewed", "approved"):
        if not getattr(asked, name).strip():
            raise PublishError(f"{name} is empty; allowed: a text")
    if program.site.document.different_persons:
        _refuse_one_person(asked)


def _refuse_one_person(asked: ReleaseRequest) -> None:
    for one, other in combinations(("prepared", "reviewed", "approved"), 2):
        if person(getattr(asked, one)) == person(getattr(asked, other)):
            raise PublishError(
                f"{one} and {other} are both {getattr(asked, one)!r}; site.yaml asks for different persons"
            )


def person(text: str) -> str:
    """Who is meant, whatever the role behind the comma, spacing and capitals.

    >>> person("A. Writer, safety lead") == person("a.  writer")
    True
    """
    return " ".join(text.partition(",")[0].split()).casefold()


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
