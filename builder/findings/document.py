"""``docs/findings.md``, written from what the rules declare: ``python -m builder.findings.document FILE``."""

import sys
from pathlib import Path

from builder.findings.order import all_rules
from builder.findings.rule import Rule

HEAD = """# Findings

Written by `python -m builder.findings.document docs/findings.md` from the modules of `builder/findings/rules`: change
them, not this file.

What the calculation proves wrong or worth telling. A **stop** refuses a release (drafts still build, marked as drafts);
a **warn** wants a decision; a **note** is for information. A value that was not read in its source never makes a stop:
the finding is a warn that says so. Each finding names the line of content to correct, the figures that show it and the
source of the rule.

| rule | weight | what is wrong | source |
|---|---|---|---|
"""


def findings_document() -> str:
    """A row for each rule, in the order of the alphabet."""
    return HEAD + "".join(_row(rule) for rule in all_rules())


def words_of(rule: Rule) -> tuple[str, str]:
    """What a rule says is wrong, and its source, from its words."""
    what, _, source = " ".join(rule.words.split()).partition("Source: ")
    return what.strip(), source.strip()


def _row(rule: Rule) -> str:
    what, source = words_of(rule)
    weight = " or ".join(severity.value for severity in rule.severities)
    what += " A guard rail: a site may answer for it in accepted.yaml." if rule.acceptable else ""
    return f"| `{rule.id}` | {weight} | {what} | {source} |\n"


if __name__ == "__main__":
    Path(sys.argv[1]).write_text(findings_document(), encoding="utf-8")
