"""Which tests are those of a module: the few that must notice whatever is changed in it."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

FORMULAS = [
    "tests/formulas/test_published.py",
    "tests/formulas/test_registry.py",
    "tests/formulas/test_small.py",
    "tests/formulas/test_history.py",
    "tests/formulas/test_against_libraries.py",
    "tests/formulas/test_properties.py",
]
BY_PATH = {
    "builder/base/rounding.py": ["tests/base/test_rounding.py", "tests/base/test_quantity.py"],
    "builder/base/quantity.py": ["tests/base/test_quantity.py", "tests/base/test_rounding.py"],
    "builder/reference/formula.py": ["tests/reference/test_formula.py"],
}
TABLES = [
    "tests/reference/test_second_reading.py",
    "tests/reference/test_tables.py",
    "tests/reference/test_limits.py",
    "tests/reference/test_rules.py",
    "tests/reference/test_library.py",
    "tests/reference/test_vapour.py",
    "tests/reference/test_formula.py",
    "tests/findings/test_bead_physics.py",
]


@cache
def tests_of(root: Path, path: str) -> list[str]:
    """Arguments for pytest; the tests that notice most come first."""
    if path in BY_PATH:
        return BY_PATH[path]
    if path.endswith(".csv"):
        return TABLES
    if path.startswith("builder/findings/rules/"):
        return _naming(root, Path(path))
    return FORMULAS


def _naming(root: Path, rule: Path) -> list[str]:
    """The planted fault of each rule, and the files of tests that name one of this module."""
    names = re.findall(r"^@rule\(.*\)\ndef (\w+)\(", (root / rule).read_text(encoding="utf-8"), re.MULTILINE)
    words = [word for name in names for word in (name, name.replace("_", "-"))]
    files = sorted((root / "tests" / "findings").glob("test_*.py"))
    naming = [file for file in files if any(word in file.read_text(encoding="utf-8") for word in words)]
    first = [root / "tests" / "findings" / name for name in ("test_faults.py", "test_docs.py")]
    named = [file.relative_to(root).as_posix() for file in dict.fromkeys((*first, *naming))]
    return [*named, "--deselect", "tests/findings/test_records.py::test_size"]
