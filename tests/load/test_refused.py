"""Files that cannot be read: every fault with its line and its whole message; fixtures/README.md gives the form."""

from __future__ import annotations

from pathlib import Path

import pytest

from builder.base.errors import ContentError
from builder.load.csv_lines import csv_rows
from builder.load.markdown import read_document
from builder.load.yaml_lines import readable_yaml
from tests.each import each

FIXTURES = Path(__file__).parent / "fixtures"


def read_csv(text, file):
    """Every row; raises as whoever asks for the rows does once they were all gone through."""
    rows = csv_rows(text.splitlines(keepends=True), file)
    found = list(rows.body)
    if rows.faults.count:
        raise ContentError(rows.faults.problems())
    return found


def read_yaml(text, file):
    """The tree; raises for the faults that came with it."""
    node, problems = readable_yaml(text, file)
    if problems:
        raise ContentError(problems)
    return node


def read_markdown(text, file):
    """The document; raises for the faults that came with it."""
    document = read_document(text, file)
    if document.problems:
        raise ContentError(document.problems)
    return document


READERS = {"yaml": read_yaml, "csv": read_csv, "markdown": read_markdown}
ENDINGS = {"yaml": "yaml", "csv": "csv", "markdown": "md"}
SPELLED = (("\\t", "\t"), ("\\0", "\0"), ("\\a", "\a"))


def cases():
    made = []
    for name in READERS:
        parts = (FIXTURES / f"{name}.txt").read_text(encoding="utf-8").rstrip("\n").split("\n.\n")
        assert len(parts) % 3 == 0, name
        made += [
            pytest.param(name, text, expect, id=f"{name}: {title}")
            for title, text, expect in zip(parts[::3], parts[1::3], parts[2::3], strict=True)
        ]
    return made


@each(("name", "text", "expect"), cases())
def test_says_what_is_wrong(name, text, expect):
    for spelled, meant in SPELLED:
        text = text.replace(spelled, meant)
    with pytest.raises(ContentError) as caught:
        READERS[name](text + "\n", f"f.{ENDINGS[name]}")
    assert str(caught.value) == expect


def billion_laughs(levels, width):
    lines = ["a0: &a0 [x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * width)}]" for n in range(1, levels)]
    return "\n".join(lines)


def test_aliases_that_multiply_are_refused_before_they_fill_the_memory():
    with pytest.raises(ContentError) as caught:
        read_yaml(billion_laughs(levels=30, width=9), "f.yaml")
    assert [(problem.found, problem.allowed) for problem in caught.value.problems] == [
        ("aliases that multiply the file", "at most 10000 repeated nodes")
    ]


@pytest.mark.parametrize("deep", [41, 500])
def test_too_deep_a_file_is_refused(deep):
    with pytest.raises(ContentError) as caught:
        read_yaml("a:\n " + "[" * deep + "]" * deep, "f.yaml")
    assert str(caught.value) == "f.yaml:2: nested deeper than 40 levels; allowed: flat content files"


def test_a_file_deep_enough_to_break_a_parser_is_refused():
    with pytest.raises(ContentError) as caught:
        read_yaml("[" * 200_000, "f.yaml")
    assert [problem.found for problem in caught.value.problems] == ["not valid YAML: exceeded maximum nesting depth"]


def test_as_deep_as_allowed_is_read():
    assert read_yaml("[" * 40 + "]" * 40, "f.yaml") is not None


@pytest.mark.parametrize("levels", [9, 12, 60])
def test_lists_too_deep_for_the_library_are_refused_not_lost(levels):
    text = "---\nid: a\n---\n" + "".join("  " * n + "- x\n" for n in range(levels))
    with pytest.raises(ContentError) as caught:
        read_markdown(text, "f.md")
    assert str(caught.value) == "f.md:12: lists nested deeper than 8; allowed: flatter lists"
