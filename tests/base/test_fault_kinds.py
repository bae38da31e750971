"""Every kind of fault has a lasting id, a cause and a cure, which docs/faults.md prints."""

from __future__ import annotations

import re
from pathlib import Path

from builder.base.fault_kinds import Kind, faults_document
from tests.each import each

DOCS = Path(__file__).parent.parent.parent / "docs" / "faults.md"


def test_the_page_is_what_the_kinds_declare():
    assert DOCS.read_text(encoding="utf-8") == faults_document(), (
        "docs/faults.md is out of date; write it with: python -m builder.base.fault_kinds docs/faults.md"
    )


@each("kind", Kind)
def test_a_kind_says_what_causes_it_and_what_cures_it(kind):
    assert re.fullmatch("[a-z]+(-[a-z]+)*", kind), "it is an anchor of the page as it stands"
    assert kind.cause.endswith(".")
    assert kind.cure.endswith((".", ")."))
    assert f"\n## {kind}\n{kind.cause}\n" in faults_document()


def test_ids_that_were_printed_never_go():
    """Pipelines and editors ask for them by name: whoever takes one away breaks theirs."""
    assert {
        *("file-unknown", "file-missing", "file-unreadable", "encoding", "too-big", "hidden-character", "not-yaml"),
        *("table-form", "prose-form", "typed-number", "key-unknown", "key-missing", "wrong-shape", "not-a-choice"),
        *("id-form", "number-form", "time-form", "out-of-range", "stands-twice", "name-unknown", "figure-unknown"),
        *("conflict", "translation", "more-faults"),
    } <= set(Kind)
