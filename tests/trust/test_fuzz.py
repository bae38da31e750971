"""Whatever is in a content folder, `check` answers in time, with the documented status, naming file and line.

Seeded, so that a run can be had again: a failure tells its number. Statuses are those of docs/commands.md.
"""

from __future__ import annotations

import random

import pytest

from tests.conftest import DEMO, MINIMAL
from tests.trust.fuzz import TooLongError, answered, assert_told, copy_of, files_of, mutated, with_file
from tests.trust.long import LONG

SEED = 20261128
BATCH = 50
BATCHES = range(22) if LONG else range(1)
"""1,100 changes of the demo."""


@pytest.mark.parametrize("batch", BATCHES)
def test_a_changed_content_is_answered(batch, tmp_path, capsys):
    content = copy_of(DEMO if LONG else MINIMAL, tmp_path / "content")
    files = files_of(content)
    wrong = []
    for number in range(batch * BATCH, (batch + 1) * BATCH):
        chance = random.Random(f"{SEED} {number}")
        path = chance.choice(files)
        text = mutated(path.read_text(encoding="utf-8"), chance)
        with with_file(path, text):
            try:
                assert_told(*answered(content, capsys))
            except (Exception, TooLongError) as fault:  # noqa: BLE001 - all of a batch are told, not the first alone
                wrong.append(f"{number}: {path.relative_to(content)}: {fault!r:.400}")
                capsys.readouterr()
    assert wrong == []
