"""The ledger of an edition: every figure asked of its formula again."""

from pathlib import Path

from builder.base.errors import ArchiveError
from builder.figures.recompute import recompute
from builder.history.ledger_files import FIGURES, read_ledger
from builder.verify.report import Check, Difference


def check_ledger(root: Path, prefix: str, check: Check) -> None:
    """Calculate again every figure of the edition in the folder ``prefix`` of the site."""
    try:
        ledger = read_ledger(lambda name: (root / prefix / name).read_bytes(), prefix.rstrip("/") or ".")
        found = recompute(ledger.figures)
    except (ArchiveError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as fault:
        check.expect(False, f"{prefix}{FIGURES}", f"is no ledger that can be calculated again: {fault!r}")
        return
    check.count += len(ledger.figures) - 1
    check.compared(
        Difference(f"{prefix}{ledger.path_of(one.key)}", f"{one.key}: {one.what}", one.expected, one.found)
        for one in found
    )
