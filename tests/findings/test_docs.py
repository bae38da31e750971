"""The list of findings in docs/ is the list that is asked, with the words of the rules themselves."""

from __future__ import annotations

import re
from pathlib import Path

from builder.findings.order import RULES

DOCS = Path(__file__).parent.parent.parent / "docs" / "findings.md"


def rows():
    text = DOCS.read_text(encoding="utf-8")
    found = re.findall(r"^\| `([a-z-]+)` \| ([a-z ]+) \| (.+) \| (.*) \|$", text, re.MULTILINE)
    return {name: (weight, what, source) for name, weight, what, source in found}


def test_every_rule_is_in_the_list_once_and_no_other():
    assert list(rows()) == [rule.ID for rule in RULES]


def test_the_list_says_what_the_rules_say():
    for rule in RULES:
        told = re.sub(r"\s+", " ", rule.__doc__.strip())
        what, _, source = told.partition("Source: ")
        assert rows()[rule.ID][1:] == (what.strip(), source.strip()), rule.ID
