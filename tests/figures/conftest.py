"""The ledger of the small sound site in tests/program/site, as it is and after changes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from tempfile import mkdtemp

import pytest

from builder.figures.compute import compute
from builder.load.content import load_content
from builder.program.read import read_program
from builder.reference.library import library
from tests.conftest import DEMO, MINIMAL
from tests.edited import edited
from tests.shared import judged_once

FAULTS = MINIMAL.parent / "faults"
SITE = Path(__file__).parents[1] / "program" / "site"
AS_OF = date(2026, 11, 25)


def computed(folder, as_of=AS_OF):
    documents, problems = load_content(folder)
    return compute(read_program(documents, problems, library()), as_of).ledger


@pytest.fixture(scope="session")
def site():
    return SITE


@pytest.fixture(scope="session")
def ledger():
    return computed(SITE)


@pytest.fixture(scope="session", params=[DEMO, MINIMAL, FAULTS], ids=["demo", "minimal", "faults"])
def any_ledger(request):
    """The ledgers of the demo, of the smallest site and of the one with a planted fault of every kind."""
    return judged_once(request.param, AS_OF).ledger


@pytest.fixture
def ledger_after(tmp_path):
    """The ledger of the site after changes (file, old, new), each of which must match exactly once."""

    def change(*changes, as_of=AS_OF, records=True):
        program = edited(SITE, Path(mkdtemp(dir=tmp_path)), *changes)
        return compute(program if records else replace(program, records=()), as_of).ledger

    return change
