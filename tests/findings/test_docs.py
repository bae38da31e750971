"""The list of findings in docs/ is what the rules declare."""

from __future__ import annotations

from pathlib import Path

from builder.findings.document import findings_document, words_of
from builder.findings.order import all_rules
from tests.each import each

DOCS = Path(__file__).parent.parent.parent / "docs" / "findings.md"


def test_the_list_is_what_the_rules_declare():
    assert DOCS.read_text(encoding="utf-8") == findings_document(), (
        "docs/findings.md is out of date; write it with: python -m builder.findings.document docs/findings.md"
    )


@each("rule", all_rules(), ids=lambda rule: rule.id)
def test_every_rule_says_what_is_wrong_and_who_says_so(rule):
    what, source = words_of(rule)
    assert what.endswith(".")
    assert source
    assert "|" not in what + source
