"""What an edition tells of itself: the day it was judged on, and what it was made with."""

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from builder.history.edition import ABOUT
from builder.publish.ledger_json import dump
from builder.publish.versions import versions
from builder.verify.report import Check

UNREADABLE = (OSError, ValueError, KeyError, TypeError, RecursionError)
CODE = "builder code"
"""Two builders of one version can say different things while it is worked on."""


def read_about(root: Path, path: str, check: Check) -> dict[str, Any] | None:
    """Day and versions of an edition, or ``None`` where they cannot be read, which is told."""
    try:
        about = json.loads((root / path).read_bytes())
        date.fromisoformat(about["as_of"])
        dict(about["versions"])["builder"]
    except UNREADABLE as fault:
        check.expect(False, path, f"does not tell day and versions: {fault!r}")
        return None
    return dict(about)


def same_builder(about: Mapping[str, Any], what: str, check: Check) -> bool:
    """Whether this builder made it, so that it must say the same; other versions are told."""
    then = about["versions"]
    now = versions()
    if _other_builder(then):
        made = f"{what} was made by {_named(then)} and this is {_named(now)}"
        check.add_note(f"{made}: what it says cannot be said again; examine it with that one")
        return False
    others = other_versions(then, now)
    if others:
        told = f"{what} was made with other versions, which can be why something differs: {', '.join(others)}"
        check.add_note(told)
    return True


def made_elsewhere(root: Path, prefix: str) -> bool:
    """Whether the edition in a folder of the site says that another builder made it, which may have other words."""
    about = read_about(root, f"{prefix}{ABOUT}", Check(""))
    return about is not None and _other_builder(about["versions"])


def _other_builder(then: Mapping[str, str]) -> bool:
    now = versions()
    return (then["builder"], then.get(CODE)) != (now["builder"], now[CODE])


def _named(known: Mapping[str, str]) -> str:
    code = str(known.get(CODE, ""))
    return f"builder {known['builder']} (code {code[:12]})" if code else f"builder {known['builder']} (code not told)"


def with_versions(wanted: bytes, path: Path) -> bytes:
    """What ``about.json`` must tell, with the versions that it tells itself."""
    try:
        told = json.loads(wanted) | {"versions": dict(json.loads(path.read_bytes())["versions"])}
    except UNREADABLE:
        return wanted
    return dump(told)


def other_versions(then: Mapping[str, str], now: Mapping[str, str]) -> list[str]:
    """Each version that is another ``now`` than ``then``, in words.

    >>> other_versions({"pango": "1.50.12", "zlib": "1"}, {"pango": "1.54.0", "zlib": "1"})
    ['pango 1.50.12 then, 1.54.0 now']
    """
    return [
        f"{name} {then.get(name, 'not told')} then, {now.get(name, 'not told')} now"
        for name in dict.fromkeys((*now, *then))
        if then.get(name) != now.get(name)
    ]
