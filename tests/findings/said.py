"""What planted faults are told as, in the words a reader sees: ``python -m tests.findings.said PATH`` writes them anew.

The words are the project's own, and whoever writes them anew reads each beside the fault it tells of. Figures stand by
their keys alone, since other tests hold their values against values from outside.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

import yaml

from builder.base.finding import Finding
from builder.figures.compute import compute
from builder.figures.ledger import Ledger
from builder.findings.order import find
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library

FAULTS = Path(__file__).parent.parent / "sites" / "faults"
SAID = Path(__file__).with_name("said.yaml")
FIGURE = "…"


def said(findings: Iterable[Finding], ledger: Ledger) -> Iterator[str]:
    """Weight, rule, line, words, all that a finding touches, what shows it, who says so and what mends it."""
    for one in findings:
        words = one.message
        for printed in sorted((ledger[key].printed for key in one.figures), key=len, reverse=True):
            words = words.replace(printed, FIGURE)
        touched = [name for name in one.touches if name != one.subject]
        lines = [f"lines {', '.join(str(where) for where in one.lines)}"] if one.lines else []
        about = ", ".join((one.subject, *touched, *lines))
        behind = f"Shown by: {', '.join(one.figures) or 'no figure'}. Rule: {one.source}. To correct it: {one.mend}."
        yield f"{one.severity.value} {one.rule} {one.where}: {words} [{about}] {behind}".replace("\u00a0", " ")


def main(path: str) -> None:
    documents, problems = load_content(FAULTS)
    computed = compute(read_program(documents, problems, library()), date(2026, 11, 25))
    told = sorted(said(find(computed), computed.ledger))
    Path(path).write_text(yaml.safe_dump(told, allow_unicode=True, width=10_000), encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1])
