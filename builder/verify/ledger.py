"""The ledger of an edition: every figure calculated again from what it was made from."""

from __future__ import annotations

from pathlib import Path

from builder.verify.report import Check


def check_ledger(root: Path, prefix: str, check: Check) -> None:
    """Calculate again every figure of the edition in the folder ``prefix`` of the site."""
