"""Hostile texts in every place of a content folder: each is taken as a text, or refused with its file and line."""

from __future__ import annotations

import json
import random

import pytest

from tests.conftest import MINIMAL
from tests.trust.fuzz import WORDS, answered, assert_told, copy_of, with_file
from tests.trust.injected import KEY, TEXTS, VALUE
from tests.trust.long import LONG


def places():
    """Each key of each YAML file once: path, and where its value stands."""
    found = {}
    for path in sorted(MINIMAL.rglob("*.yaml")):
        text = path.read_text(encoding="utf-8")
        for value in VALUE.finditer(text):
            key = KEY.search(text[: value.start()])
            if key:
                found.setdefault((path.relative_to(MINIMAL), key[1]), value.span())
    return [(path, key, span) for (path, key), span in found.items()]


CASES = [(place, text) for place in places() for text in (*TEXTS, *WORDS)]
BATCH = 200
CHOSEN = random.Random(1).sample(CASES, 2000 if LONG else 40)


def test_there_are_enough_of_them():
    assert len(CASES) >= 3000


@pytest.mark.parametrize("first", range(0, len(CHOSEN), BATCH))
def test_a_hostile_text_is_a_text_or_is_refused(first, tmp_path, capsys):
    content = copy_of(MINIMAL, tmp_path / "content")
    for (name, _, (start, end)), text in CHOSEN[first : first + BATCH]:
        path = content / name
        whole = path.read_text(encoding="utf-8")
        with with_file(path, whole[:start] + json.dumps(text, ensure_ascii=False) + whole[end:]):
            status, told = answered(content, capsys)
        assert_told(status, told)
