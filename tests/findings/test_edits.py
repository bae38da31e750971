"""The demo with one dangerous fault each: the promise is that an unsafe program is not released, or at least told.

Each day another sixteenth of the edits is tried, all of them in sixteen days; `make trust` tries all at once.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from builder.base.errors import ContentError
from builder.figures.compute import compute
from builder.findings.order import all_rules, find
from builder.load.content import load_content
from builder.load.tables import SourceTable
from builder.load.yaml_lines import readable_yaml
from builder.pipeline import judge
from builder.program.read import read_program
from builder.reference.library import library
from tests.conftest import DAY, DEMO
from tests.trust.long import sample_of

EDITS = yaml.load((Path(__file__).parent / "edits.yaml").read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)["edits"]
TRIED = [pytest.param(edit, id=edit["name"]) for edit in sample_of(EDITS, 16)]


@pytest.fixture(scope="module")
def documents():
    """The demo as it was read, once for all edits."""
    read, problems = load_content(DEMO)
    assert problems == ()
    return read


def test_the_demo_itself_may_be_released():
    """What only a release refuses, such as a text without its language, is told as a draft with less weight."""
    assert [f"{finding.where}: {finding.message}" for finding in judge(DEMO, DAY, release=True).stops()] == []


def changed(edit):
    """The text of a file after an edit."""
    if "write" in edit:
        return edit["write"]
    text = (DEMO / edit["in"]).read_text(encoding="utf-8")
    start = text.index(edit.get("after", ""))
    end = text.index(edit["until"], start) if "until" in edit else len(text)
    part = text[start:end]
    for old, new in ((edit["old"], edit["new"]), *edit.get("and", ())):
        assert old in part, f"{edit['in']} has no {old!r} there any more"
        part = part.replace(old, new, -1 if edit.get("all") else 1)
    return text[:start] + part + text[end:]


def judged(documents, edit, folder, rule=None):
    """What all rules, or one, find of the demo after an edit."""
    for one in (edit, *([edit["besides"]] if "besides" in edit else ())):
        name, text = one["in"], changed(one)
        if name.endswith(".csv"):
            (folder / "edited.csv").write_text(text, encoding="utf-8")
            table = SourceTable(name, folder / "edited.csv")
            documents = replace(documents, tables={**documents.tables, name: table})
        else:
            node, problems = readable_yaml(text, name)
            assert not problems
            documents = replace(documents, structured={**documents.structured, name: node})
    asked = [entry for entry in all_rules() if entry.id == rule] or None
    return find(compute(read_program(documents, (), library()), DAY), asked)


def test_there_are_enough_of_them():
    assert len(EDITS) >= 80
    assert len({edit["name"] for edit in EDITS}) == len(EDITS)
    assert len(TRIED) >= 10


def test_the_demo_itself_has_no_stop(documents):
    found = find(compute(read_program(documents, (), library()), DAY))
    assert [one.message for one in found if one.severity.value == "stop"] == []


@pytest.mark.parametrize("edit", TRIED)
def test_a_dangerous_edit_is_told(documents, edit, tmp_path):
    if "refused" in edit:
        with pytest.raises(ContentError) as raised:
            judged(documents, edit, tmp_path)
        told = " ".join(problem.found for problem in raised.value.problems)
        assert edit["refused"] in told
        return
    rule, weight, file = edit["told"]
    found = judged(documents, edit, tmp_path, rule)
    said = [one.message.replace("\u00a0", " ") for one in found
            if (one.rule, one.severity.value, one.where.file) == (rule, weight, file)]  # fmt: skip
    assert said, [f"{one.severity.value} {one.rule} {one.where}" for one in found]
    assert any(str(edit.get("says", "")) in message for message in said), said
