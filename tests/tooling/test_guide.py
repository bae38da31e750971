"""The guide for developers names files, tests and decisions that are there."""

from __future__ import annotations

import re
from pathlib import Path

from tests.each import each

ROOT = Path(__file__).parent.parent.parent
GUIDE = ROOT / "DEVELOPERS.md"
DECISIONS = ROOT / "docs" / "decisions"
EACH = sorted(DECISIONS.glob("[0-9]*.md"))
PLACES = ("", "builder", "tests", "builder/reference/tables", "tests/reference", "tests/reference/fixtures")
PLACES += ("builder/pages/handbook", "builder/cli", "builder/pages", "builder/figures/formulas")
"""Folders from which a path in the guide may be told, once its recipe has named the folder."""
PATH = re.compile(r"`((?:[\w.-]+/)*[\w.-]+\.(?:py|md|csv|yaml|html|js))(?:::(\w+))?`")
MADE_UP = ("SOURCE-EDITION.csv", "ID.yaml", "TOPIC.py", "TOPIC.yaml")
"""Endings of names that the reader fills in."""


def named(path: Path) -> list[tuple[str, str]]:
    found = PATH.findall(path.read_text(encoding="utf-8"))
    return [(name, test) for name, test in found if not name.endswith(MADE_UP)]


def place_of(name: str) -> Path | None:
    return next((ROOT / place / name for place in PLACES if (ROOT / place / name).is_file()), None)


def test_every_file_and_test_that_the_guide_names_is_there():
    told = named(GUIDE)
    assert len(told) > 50
    assert [name for name, _ in told if place_of(name) is None and name != "accepted.yaml"] == []
    tests = [(place_of(name), test) for name, test in told if test]
    assert [test for path, test in tests if f"def {test}(" not in path.read_text(encoding="utf-8")] == []


def test_the_guide_stays_short():
    assert len(GUIDE.read_text(encoding="utf-8").splitlines()) <= 170


def test_the_index_lists_every_decision_with_title_and_owner():
    index = (DECISIONS / "README.md").read_text(encoding="utf-8").splitlines()
    rows = []
    for path in EACH:
        text = path.read_text(encoding="utf-8")
        title = re.match(r"# (\d{3}) (.+)\n", text)
        owner = re.search(r"\*\*Owner:\*\* `(.+)`\n\Z", text)
        rows.append(f"- [{title[1]}]({path.name}) {title[2]} (`{owner[1]}`)")
        assert path.name.startswith(title[1])
    assert [line for line in index if line.startswith("- ")] == rows


@each("path", EACH, ids=lambda path: path.stem)
def test_a_decision_says_why_and_its_owner_is_there(path):
    text = path.read_text(encoding="utf-8")
    assert len(re.findall(r"^\*\*(?:Decision|Why)\.\*\* .", text, re.MULTILINE)) == 2
    owner = re.search(r"\*\*Owner:\*\* `(.+)`", text)[1]
    assert (ROOT / owner).is_file()
