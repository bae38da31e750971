"""A small site whose checks before each day's use share a log sheet, in every language that papers are set in."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from builder.pipeline import Judged, judge
from builder.program.languages import LANGUAGES as REGISTERED

MINIMAL = Path(__file__).parents[1] / "sites" / "minimal"
DAY = date(2026, 11, 25)
LANGUAGES = tuple(tag for tag, language in REGISTERED.items() if not language.right_to_left)
"""Those that are read from left to right; labels in Arabic need more room than these have."""
MORE_CHECKS = """
  - {id: zero, name: {en: Fresh-air zero, de: Nullabgleich an Frischluft}, kind: zero, interval: each day of use,
     reason: invented, source: invented, gas-time: 30 s}
  - {id: flow-block, name: Flow-block test, kind: flow-block, interval: each day of use, reason: invented,
     source: invented}
  - {id: look, name: Look at case and filter, kind: inspection, interval: 3 months, reason: invented, source: invented}
"""
LABELS = """
sheets:
  - {id: small, paper: A4, label: 63.5 mm × 38.1 mm, columns: 3, rows: 7, left: 7.2 mm, top: 15.1 mm, gap-x: 2.5 mm,
     gap-y: 0 mm}
  - {id: used, paper: Letter, label: 66.675 mm × 33 mm, columns: 3, rows: 8, left: 4.7 mm, top: 12.7 mm, gap-x: 3.2 mm,
     gap-y: 0 mm, copies: 3, start-at: 23, language: de}
"""


def paper_site(
    folder: Path,
    forms: str = "",
    labels: str = LABELS,
    checks: str = MORE_CHECKS,
    languages: Sequence[str] = LANGUAGES,
) -> Path:
    """The site in a folder that is not there yet."""
    shutil.copytree(MINIMAL, folder)
    for name, old, new in (
        ("site.yaml", "languages: [en]", f"languages: [{', '.join(languages)}]"),
        ("models.yaml", "longest-hose: 30 m}", "longest-hose: 30 m, flow-block: 10 s}"),
    ):
        text = (folder / name).read_text(encoding="utf-8")
        assert text.count(old) == 1
        (folder / name).write_text(text.replace(old, new), encoding="utf-8")
    with (folder / "checks.yaml").open("a", encoding="utf-8") as file:
        file.write(checks)
    for name, text in (("labels.yaml", labels), ("forms.yaml", forms)):
        if text:
            (folder / name).write_text(text, encoding="utf-8")
    return folder


def judged_papers(folder: Path, **files: Any) -> Judged:
    return judge(paper_site(folder, **files), DAY)
