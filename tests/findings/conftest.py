from __future__ import annotations

from datetime import date
from pathlib import Path
from tempfile import mkdtemp
from typing import TYPE_CHECKING

import pytest

from builder.figures.compute import compute
from builder.findings.order import all_rules, find
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library
from tests.edited import edited, program_once
from tests.remembered import remembered_topics
from tests.reread import reread_files

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from builder.base.finding import Finding
    from builder.program.program import Program

SITES = Path(__file__).parents[1]
"""What lies there is changed by no test."""
SOUND = Path(__file__).parent / "sound"
AS_OF = date(2026, 11, 25)
OF_THE_WHOLE = {
    "set-misses-channel",
    "set-sees-less",
    "no-unit-for-set",
    "sewer-hazard-missing",
    "long-shift-undecided",
    "unit-without-plan",
    "toxic-by-lel-only",
    "toxic-on-other-channel",
    "flammable-alarm-late",
    "factor-inverted",
    "not-on-record",
    "factor-without-proof",
    "card-missing",
    "depth-not-stated",
    "error-not-stated",
    "oxygen-high-unproved",
    "alarm-not-relayed",
    "alarm-time-too-long",
    "access-not-kept",
    "station-log",
    "record-incomplete",
    "sensor-not-listed",
}
"""Rules that weigh a whole site, or what another rule finds by its own measure too. The small site leaves out what most
rules never ask for, so tests of a single rule do not ask these; ``test_carried.py`` and ``test_guard_rails.py`` do."""
SINGLE = tuple(entry for entry in all_rules() if entry.id not in OF_THE_WHOLE)


@pytest.fixture
def as_of() -> date:
    return AS_OF


@pytest.fixture
def program_of() -> Callable:
    """The program of a folder; raises when it holds a fault of form."""

    def read(folder: Path):
        if folder.is_relative_to(SITES):
            return program_once(folder)
        documents, problems = load_content(folder)
        return read_program(documents, problems, library())

    return read


@pytest.fixture(autouse=True)
def _remembered() -> Iterator[None]:
    """Figures of a site that a change of text leaves as they were are not computed again."""
    with remembered_topics(), reread_files():
        yield


@pytest.fixture
def program_with(tmp_path: Path) -> Callable[..., Program]:
    """The sound site after changes of text that match once; a new file where nothing is replaced."""
    return lambda *changes: edited(SOUND, Path(mkdtemp(dir=tmp_path)), *changes)


@pytest.fixture
def found(program_with: Callable[..., Program]) -> Callable[..., list[Finding]]:
    """Findings of the sound site after such changes, of all rules but a few, of the whole of them, or of some alone."""

    def judge(
        *changes: tuple[str, str, str], as_of: date = AS_OF, whole: bool = False, rules: frozenset[str] = frozenset()
    ) -> list[Finding]:
        some = tuple(entry for entry in all_rules() if entry.id in rules)
        assert {entry.id for entry in some} == rules, "only a rule is asked by its name"
        return list(find(compute(program_with(*changes), as_of), some or (None if whole else SINGLE)))

    return judge


@pytest.fixture
def told(found: Callable[..., list[Finding]]) -> Callable[..., list[str]]:
    """The same as `severity rule` lines, each once, in order of the alphabet."""

    def judge(*changes: tuple[str, str, str], as_of: date = AS_OF) -> list[str]:
        return sorted({f"{finding.severity.value} {finding.rule}" for finding in found(*changes, as_of=as_of)})

    return judge
