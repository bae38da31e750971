"""Shipped YAML is read into records, and nothing of another shape passes."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from builder.base.errors import ContentError
from builder.load import shipped_yaml


@dataclass(frozen=True)
class Pair:
    name: str
    also_known: tuple[str, ...] = ()


@pytest.fixture(name="read")
def _read(tmp_path, monkeypatch):
    monkeypatch.setattr(shipped_yaml, "shipped_folder", lambda: tmp_path)

    def read(text, kind):
        (tmp_path / "a.yaml").write_text(text, encoding="utf-8")
        return shipped_yaml.shipped_yaml("a.yaml", kind)

    return read


def test_records_are_made_of_what_their_types_say(read):
    text = "- name: one\n  also-known: [first]\n- name: two\n"
    assert read(text, tuple[Pair, ...]) == (Pair("one", ("first",)), Pair("two"))
    assert read("a: [x, y]\n", dict[str, tuple[str, str]]) == {"a": ("x", "y")}


@pytest.mark.parametrize(
    ("text", "kind", "told"),
    [
        ("name: [one]\n", Pair, "a.yaml:1: str is wanted"),
        ("name: one\nalso-known: first\n", Pair, "a.yaml:2: tuple is wanted"),
        ("name: one\nnames: two\n", Pair, "no key of Pair: names"),
        ("also-known: [first]\n", Pair, "missing 1 required positional argument: 'name'"),
        ("one\n", dict[str, str], "dict is wanted"),
    ],
)
def test_another_shape_is_refused_with_its_line(read, text, kind, told):
    with pytest.raises(TypeError, match=told.replace("[", r"\[")):
        read(text, kind)


def test_text_that_is_no_yaml_is_refused(read):
    with pytest.raises(ContentError):
        read("a: [\n", dict[str, str])
