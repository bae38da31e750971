"""What the demo released holds by its own data, though the builder is another one now."""

from __future__ import annotations

import shutil

import pytest

from builder.verify.plain import compare_with_data
from builder.verify.report import Check
from builder.verify.sums import check_sums
from tests.conftest import DEMO

SITE = DEMO.parent / "site"
RELEASED = sorted(path.name for path in (SITE / "revisions").iterdir())


def faults_of(root, prefix):
    check = Check("own data")
    pages = sorted(path.relative_to(root).as_posix() for path in (root / prefix).rglob("*.html"))
    compare_with_data(root, prefix, pages, check)
    return [str(fault) for fault in check.faults]


def test_the_demo_has_two_revisions():
    assert RELEASED == ["1", "2"]


@pytest.mark.parametrize("number", RELEASED)
def test_a_released_revision_agrees_with_its_own_data(number):
    folder, check = SITE / "revisions" / number, Check("revision")
    check_sums(folder, check, "")
    assert [str(fault) for fault in check.faults] == []
    assert faults_of(SITE, f"revisions/{number}/") == []


def test_words_of_labels_and_drawings_that_were_changed_are_told(tmp_path):
    frozen = SITE / "revisions" / "2"
    for name in ("figures.json", "ledger", "cards.json", "texts.json", "cards", "labels", "forms"):
        path = frozen / name
        (shutil.copytree if path.is_dir() else shutil.copy)(path, tmp_path / name)
    for name, old, new in (
        ("texts.json", "Last day of use", "First day of use"),
        (
            "cards.json",
            "What the flammable display means, Coatings shop",
            "What the oxygen display means, Coatings shop",
        ),
    ):
        text = (tmp_path / name).read_text(encoding="utf-8")
        assert old in text
        (tmp_path / name).write_text(text.replace(old, new), encoding="utf-8")
    told = " ".join(faults_of(tmp_path, ""))
    assert "labels/bottles.pdf" in told
    assert "cards/coatings-readings.pdf" in told
