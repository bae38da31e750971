"""What the demo released holds by its own data, though the builder is another one now.

Each day all pages of both revisions are held, and another sixth of their papers; `make trust` holds all papers.
"""

from __future__ import annotations

import json
import shutil

import pytest

from builder.verify import plain
from builder.verify.plain import compare_with_data
from builder.verify.report import Check
from builder.verify.sums import check_sums
from tests.conftest import DEMO
from tests.trust.long import sample_of

SITE = DEMO.parent / "site"
RELEASED = sorted(path.name for path in (SITE / "revisions").iterdir())

LABEL, CARD = "labels/bottles.pdf", "cards/coatings-readings.pdf"


def faults_of(root, prefix):
    check = Check("own data")
    pages = sorted(path.relative_to(root).as_posix() for path in (root / prefix).rglob("*.html"))
    compare_with_data(root, prefix, pages, check)
    return [str(fault) for fault in check.faults]


def test_the_demo_has_two_revisions():
    assert RELEASED == ["1", "2"]


@pytest.fixture
def _of_some_papers(monkeypatch):
    def read(*asked):
        told = plain_read(*asked)
        if "cards" in told:
            return {**told, "cards": sample_of(told["cards"], 6)}
        return {**told, "documents": dict(sample_of(told["documents"].items(), 6))}

    plain_read = plain.read_data
    monkeypatch.setattr(plain, "read_data", read)


@pytest.mark.usefixtures("_of_some_papers")
@pytest.mark.parametrize("number", RELEASED)
def test_a_released_revision_agrees_with_its_own_data(number):
    folder, check = SITE / "revisions" / number, Check("revision")
    check_sums(folder, check, "")
    assert [str(fault) for fault in check.faults] == []
    assert faults_of(SITE, f"revisions/{number}/") == []


def test_words_of_labels_and_drawings_that_were_changed_are_told(tmp_path):
    """Of a label and a card, which tell their change and nothing else; all papers are held above."""
    frozen = SITE / "revisions" / "2"
    texts, cards = (json.loads((frozen / name).read_text(encoding="utf-8")) for name in ("texts.json", "cards.json"))
    texts["documents"] = {LABEL: texts["documents"][LABEL]}
    cards["cards"] = [card for card in cards["cards"] if f"cards/{card['id']}.pdf" == CARD]
    for name in ("figures.json", "ledger", LABEL, CARD):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (shutil.copytree if (frozen / name).is_dir() else shutil.copy)(frozen / name, tmp_path / name)
    (tmp_path / "texts.json").write_text(json.dumps(texts), encoding="utf-8")
    (tmp_path / "cards.json").write_text(json.dumps(cards), encoding="utf-8")
    assert faults_of(tmp_path, "") == []
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
    told = faults_of(tmp_path, "")
    assert [any(path in fault for fault in told) for path in (LABEL, CARD)] == [True, True]
