"""Reads the fixtures of this folder; each case carries the id of its file and line."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from builder.reference.tables import ReferenceTable

FIXTURES = Path(__file__).parent / "fixtures"


def rows(name: str) -> list[dict[str, str]]:
    with (FIXTURES / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def cases(name: str) -> list[object]:
    return [pytest.param(row, id=f"{name}:{line}") for line, row in enumerate(rows(name), start=2)]


def ids(table: ReferenceTable) -> tuple[str, ...]:
    """Every id that has a row, now or from a day on."""
    return tuple(dict.fromkeys((*table.rows, *table.later)))
