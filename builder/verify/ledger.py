"""The ledger of an edition: every figure asked of its formula again."""

from __future__ import annotations

import json
from pathlib import Path

from builder.figures.recompute import recompute
from builder.history.edition import FIGURES
from builder.verify.report import Check, Difference


def check_ledger(root: Path, prefix: str, check: Check) -> None:
    """Calculate again every figure of the edition in the folder ``prefix`` of the site."""
    path = f"{prefix}{FIGURES}"
    try:
        figures = dict(json.loads((root / path).read_bytes())["figures"])
        found = recompute(figures)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as fault:
        check.expect(False, path, f"is no ledger that can be calculated again: {fault!r}")
        return
    check.count += len(figures) - 1
    check.compared(Difference(path, f"{one.key}: {one.what}", one.expected, one.found) for one in found)
