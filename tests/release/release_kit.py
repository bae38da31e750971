"""What the tests of releases share: a small sound site, planted changes, copies."""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from builder.release.release import ReleaseRequest
from tests.shared import digests

__all__ = ["Released", "asked", "digests", "edit", "linked_copy", "overwrite", "sound_content"]

ROOT = Path(__file__).parent.parent.parent
MINIMAL = ROOT / "tests" / "sites" / "minimal"
FIRST_DAY, SECOND_DAY = date(2026, 11, 25), date(2026, 12, 2)
PLANTED = (
    ("setpoints.yaml", "high: {true: 10 %LEL", "high: {true: 20 %LEL"),
    ("setpoints.yaml", "Out now. Stay out.", "Out now. Never go back."),
    ("procedures/bump-test.md", "Fit the tube", "Fit the clean tube"),
    ("procedures/bump-test.md", "Work where the air moves.", "Work where the air moves. Wear gloves."),
    ("inventory.yaml", "bump-test: 2026-11-24", "bump-test: 2026-12-01"),
)
"""(file, before, after) between the two releases."""


@dataclass(frozen=True)
class Released:
    """A content folder and the site it was released into."""

    content: Path
    out: Path


def asked(number, effective, **other):
    names = {
        "reason": f"Reason {number}",
        "prepared": "A. Writer, lead",
        "reviewed": "B. Reader",
        "approved": "C. Head",
    }
    return ReleaseRequest(number=number, effective=effective, **{**names, **other})


def sound_content(folder):
    """The minimal site, with its overdue calibration done, and a register of copies."""
    shutil.copytree(MINIMAL, folder)
    edit(folder / "inventory.yaml", "calibration: 2026-03-30", "calibration: 2026-08-30")
    (folder / "copies.yaml").write_text(
        "copies:\n"
        "  - {card: pit-entrant, holder: K. Day, copies: 3, revision: 2}\n"
        "  - {card: pit-entrant, holder: Box at the lid, copies: 1, revision: 3}\n",
        encoding="utf-8",
    )
    return folder


def edit(path, before, after):
    text = path.read_text(encoding="utf-8")
    assert text.count(before) == 1, (path, before)
    path.write_text(text.replace(before, after), encoding="utf-8")


def linked_copy(old, new):
    """A copy that shares its bytes; ``overwrite`` keeps the original as it is."""
    shutil.copytree(old, new, copy_function=os.link)
    return new


def overwrite(path, data):
    path.unlink(missing_ok=True)
    path.write_bytes(data)
