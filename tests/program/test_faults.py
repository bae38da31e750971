"""Every fault of the content has its message; broken/README.md gives the form of the cases."""

from __future__ import annotations

import re
from pathlib import Path
from tempfile import mkdtemp

import pytest
import yaml

from builder.base.errors import ContentError
from builder.base.fault_kinds import Kind
from builder.load.listing import INVENTORIES
from tests.each import each
from tests.edited import edited
from tests.trust.long import sample_of

BROKEN = Path(__file__).parent / "broken"
SAID = {
    "unknown key": Kind.KEY_UNKNOWN,
    "stands twice": Kind.TWICE,
    "can be taken for": Kind.TWICE,
    " has no '": Kind.KEY_MISSING,
    "a real date": Kind.TIME,
    "such as 14 days": Kind.TIME,
    "is not in the library": Kind.NAME_UNKNOWN,
    "unknown unit": Kind.NUMBER,
    " has no unit": Kind.NUMBER,
    "stands without": Kind.KEY_MISSING,
    "typed by hand": Kind.TYPED_NUMBER,
    "allowed: a single value": Kind.SHAPE,
    "allowed: one of alarm-actions": Kind.CHOICE,
}
"""Part of a message -> the one kind of fault it is, wherever it is made."""
FIELDS = {"title", "file", "replace", "with", "changes", "expect"}


def read(path):
    return yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CBaseLoader)  # noqa: S506 - text only


def cases():
    made = []
    for path in sorted(BROKEN.glob("*.yaml")):
        for case in read(path):
            assert set(case) <= FIELDS, (path.name, case)
            made.append(pytest.param(case, id=f"{path.stem}: {case['title']}"))
    return made


def test_the_small_site_is_sound(told, site):
    assert told(site) == []


@each("case", cases())
def test_says_what_is_wrong(case, site, tmp_path):
    """And what is said in the same words has the same id wherever it is made, else it would be none."""
    changes = [(change["file"], change["replace"], change["with"]) for change in case.get("changes", [case])]
    with pytest.raises(ContentError) as caught:
        edited(site, Path(mkdtemp(dir=tmp_path)), *changes)
    assert str(caught.value).split("\n") == case["expect"]
    for problem in caught.value.problems:
        assert problem.kind in {kind for part, kind in SAID.items() if part in str(problem)} or not any(
            part in str(problem) for part in SAID
        )


def test_no_case_is_written_twice():
    titles = [(path.stem, case["title"]) for path in BROKEN.glob("*.yaml") for case in read(path)]
    assert len(titles) == len(set(titles))


def test_a_missing_file_is_said_once_and_nothing_of_what_it_would_hold(changed, told):
    folder = changed()
    (folder / "gases.yaml").unlink()
    (folder / "inventory.yaml").unlink()
    assert told(folder) == [
        "gases.yaml:1: missing; allowed: this file in every content folder",
        "inventory.yaml:1: missing; allowed: exactly one of " + ", ".join(INVENTORIES),
    ]


def test_two_revisions_rise_in_number_and_date(changed, told):
    folder = changed()
    first = (folder / "revisions/001.yaml").read_text(encoding="utf-8")
    (folder / "revisions/002.yaml").write_text(first, encoding="utf-8")
    earlier = first.replace("number: 1", "number: 3").replace("2026-10-01", "2026-09-30")
    (folder / "revisions/003.yaml").write_text(earlier, encoding="utf-8")
    assert told(folder) == [
        "revisions/002.yaml:1: revision 1 stands twice; allowed: each number once",
        "revisions/003.yaml:2: revision 3 is effective before revision 1; allowed: dates that rise with the numbers",
    ]


FILES = sorted(path.name for path in (Path(__file__).parent / "site").glob("*.yaml"))


@pytest.mark.parametrize("name", sample_of(FILES, 3))
def test_whatever_value_is_left_out_the_fault_is_told_with_its_place(name, site, tmp_path):
    """Each line in turn loses what stands after its key: sound or not, only faults with real places come out.

    Each day another third of the files; `make trust` takes all.
    """
    lines = (site / name).read_text(encoding="utf-8").split("\n")
    refused = 0
    for n, line in enumerate(lines):
        key = re.match(r"\s*(?:- )?[a-z-]+:", line)
        if key is None or line == key.group():
            continue
        without = "\n".join([*lines[:n], key.group(), *lines[n + 1 :]])
        try:
            edited(site, tmp_path, (name, "", without))
        except ContentError as error:
            refused += 1
            for problem in error.problems:
                file = problem.where.file
                text = without if file == name else (site / file).read_text(encoding="utf-8")
                assert 1 <= problem.where.line <= text.count("\n") + 1, (line, problem)
    assert refused >= (2 if name == "calendar.yaml" else 5)
