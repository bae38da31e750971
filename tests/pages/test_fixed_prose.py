"""Texts that are the same on every site are Markdown: each is asked for, and each place in them is filled."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from builder.pages.blocks import Code, Fig, Link, Strong, Text
from builder.pages.handbook import fixed_prose
from builder.pages.handbook.fixed_prose import PLACE, fixed, fixed_paragraphs, texts_of
from builder.program.prose import TYPED, walk
from tests.each import each

ROOT = Path(__file__).resolve().parents[2]
PROSE = ROOT / "templates" / "prose"
FILES = sorted(path.stem for path in PROSE.glob("*.md"))
TEXTS = {f"{file}.{name}": nodes for file in FILES for name, nodes in texts_of(file).items()}
SAME = {"fixed", "fixed_paragraphs", "fixed_words"}
LONGEST = 90
"""Letters of a text that pages may hold in their code: heads, labels and short lines around links."""


def trees():
    for path in sorted((ROOT / "builder" / "pages" / "handbook").glob("*.py")):
        yield path.name, ast.parse(path.read_text(encoding="utf-8"))


def test_each_text_is_asked_for():
    asked = {node.value for _, tree in trees() for node in ast.walk(tree) if isinstance(node, ast.Constant)}
    assert sorted(TEXTS.keys() - asked) == []


def test_each_text_that_is_asked_for_is_there_and_its_places_are_filled():
    calls = [
        (node.args[0].value, {word.arg for word in node.keywords})
        for _, tree in trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and getattr(node.func, "id", "") in SAME
        and isinstance(node.args[0], ast.Constant)
    ]
    assert len(calls) > 60
    for name, given in calls:
        assert {place for node in walk(TEXTS[name]) for place in PLACE.findall(node.text)} == given, name


@each("name", TEXTS)
def test_a_text_is_one_or_more_paragraphs_without_a_typed_quantity(name):
    nodes = TEXTS[name]
    assert nodes
    assert {node.kind for node in nodes} == {"paragraph"}
    assert not [node.text for node in walk(nodes) if TYPED.search(node.text)]


def test_no_page_holds_a_long_text_in_its_code():
    found = []
    for name, tree in trees():
        docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs:
                found += [f"{name}:{node.lineno}: {node.value}"] if len(node.value) > LONGEST else []
    assert found == []


def test_places_take_words_figures_and_links(tmp_path, monkeypatch):
    folder = tmp_path / "prose"
    folder.mkdir()
    text = "# Title\n\n## one\n\n**Wait** {time} at `x`, see [gases](page:gases){end}\n\n## two\n\nA.\n\nB.\n"
    (folder / "try.md").write_text(text, encoding="utf-8")
    monkeypatch.setattr(fixed_prose, "shipped_folder", lambda: tmp_path)
    try:
        made = fixed("try.one", time=Fig("hose.wait"), end=" now.")
        assert made == (
            Strong((Text("Wait"),)), Text(" "), Fig("hose.wait"), Text(" at "), Code("x"), Text(", see "),
            Link("page:gases", (Text("gases"),)), Text(" now."),
        )  # fmt: skip
        assert [part.content for part in fixed_paragraphs("try.two")] == [(Text("A."),), (Text("B."),)]
        with pytest.raises(KeyError, match="end"):
            fixed("try.one", time=Fig("hose.wait"))
        with pytest.raises(ValueError, match=re.escape("try.two has no place for time")):
            fixed_paragraphs("try.two", time="now")
        with pytest.raises(KeyError, match="three"):
            fixed("try.three")
    finally:
        texts_of.cache_clear()
