"""Time the judging of records, and how it grows from 200 to 2,000 units of a hundred days each.

Made-up records of the small sound site; the growth is what to look at. Run it with `make bench`.
"""

from __future__ import annotations

import resource
import time
from datetime import date
from pathlib import Path

from builder.figures.compute import compute
from builder.findings.order import find
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library
from tests.findings.scale import grown

SOUND = Path(__file__).parent.parent / "findings" / "sound"
DAY = date(2026, 11, 25)
DAYS = 100


def main() -> None:
    """Print seconds, seconds a unit, and the memory of the process."""
    documents, problems = load_content(SOUND)
    sound = read_program(documents, problems, library())
    base = 0.0
    for units in (200, 2000):
        program = grown(sound, units=units, days=DAYS)
        start = time.perf_counter()
        computed = compute(program, DAY)
        findings = find(computed)
        spent = time.perf_counter() - start
        base = base or spent
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(
            f"{units:5} units {len(program.records):7} records {spent:6.2f} s   {spent / base:5.2f} x the first"
            f"   {len(computed.ledger.figures)} figures, {len(findings)} findings, {memory:.0f} MB"
        )


if __name__ == "__main__":
    main()
