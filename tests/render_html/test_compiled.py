"""Compiled templates are kept beside compiled modules, and change nothing of what a template says."""

from __future__ import annotations

import sys

import pytest
from jinja2 import DictLoader, Environment

from builder.render.compiled import CompiledTemplates


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """Where Python keeps what it compiled, empty."""
    monkeypatch.setattr(sys, "pycache_prefix", str(tmp_path / "kept"))
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    return tmp_path / "kept"


def said(monkeypatch, text="<p>{{ name }}", basis="one"):
    """What a template says, and how often one was compiled for it."""
    compiled = []
    usual = Environment.compile
    with monkeypatch.context() as patched:
        patched.setattr(Environment, "compile", lambda *given: compiled.append(1) or usual(*given))
        made = Environment(
            loader=DictLoader({"html/page.html": text}), bytecode_cache=CompiledTemplates(basis), autoescape=True
        )
        return made.get_template("html/page.html").render(name="Ann"), len(compiled)


def files(kept):
    return [path for path in kept.rglob("*") if path.is_file()]


def test_a_template_is_compiled_once(kept, monkeypatch):
    assert said(monkeypatch) == ("<p>Ann", 1)
    assert said(monkeypatch) == ("<p>Ann", 0)
    (path,) = files(kept)
    assert path.name == f"template-html-page.{sys.implementation.cache_tag}.pyc"


def test_another_text_or_other_code_is_compiled_anew_in_its_place(kept, monkeypatch):
    for text, basis, expected in (
        ("<p>{{ name }}", "one", "<p>Ann"),
        ("<b>{{ name }}", "one", "<b>Ann"),
        ("<b>{{ name }}", "two", "<b>Ann"),
    ):
        assert said(monkeypatch, text, basis) == (expected, 1)
        assert said(monkeypatch, text, basis) == (expected, 0)
    assert len(files(kept)) == 1


@pytest.mark.parametrize("spoil", [lambda data: data[:-1], lambda data: data[:40] + b"x" + data[41:], lambda _: b""])
def test_what_is_spoiled_is_compiled_anew(spoil, kept, monkeypatch):
    said(monkeypatch)
    (path,) = files(kept)
    path.write_bytes(spoil(path.read_bytes()))
    assert said(monkeypatch) == ("<p>Ann", 1)
    assert said(monkeypatch) == ("<p>Ann", 0)


def test_nothing_is_kept_where_python_keeps_nothing(kept, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert [said(monkeypatch), said(monkeypatch)] == [("<p>Ann", 1)] * 2
    assert files(kept) == []


def test_a_place_that_is_not_to_be_written_to_costs_no_more_than_time(kept, monkeypatch):
    kept.write_text("a file where a folder would be")
    assert [said(monkeypatch), said(monkeypatch)] == [("<p>Ann", 1)] * 2
