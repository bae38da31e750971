"""Plain data of all pages, editions, books, cards, papers and translators' sheets are one, whatever the seed of hashes.

The tests run with a seed of their own, another one each time, which is held against a process with a fixed seed. The
site of faults is tried each day, the demo every third; `make trust` tries both.
"""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from dataclasses import fields, replace
from pathlib import Path

import pytest

from builder.pages.languages.po import po_bytes
from builder.pipeline import translator_texts
from builder.render.translation_sheet import translation_sheet
from tests.conftest import DAY, DEMO, ROOT
from tests.shared import composed_once
from tests.trust.long import turn

FAULTS = ROOT / "tests" / "sites" / "faults"
SEED = "2026"
TOLD = """
import json, sys
from tests.pages.test_equal_bytes import told
print(json.dumps(told(sys.argv[1])))
"""


def code(thing):
    return hashlib.sha256(repr(thing).encode()).hexdigest()


def in_order(edition):
    """Its pages and words; of the texts that stay in English only whether one is among them is ever asked."""
    return [(replace(page, english=()), sorted(page.english)) for page in edition.pages], edition.words


def sheet_of(judged, language):
    """What a translator is sent."""
    entries = translator_texts(judged, language).entries()
    return po_bytes(entries, language, "", DAY), translation_sheet(entries, language, "", "")


def told(content) -> dict[str, str]:
    """Name -> hash of all that is composed, with the seed of this process."""
    made = composed_once(Path(content), DAY)
    judged = made.judged
    found = {page.id: code(page) for page in made.pages} | {f"card {card.name}": code(card) for card in made.cards}
    found |= {field.name: code(getattr(made.outputs, field.name)) for field in fields(made.outputs)}
    found |= {f"pages in {one.language}": code(in_order(one)) for one in judged.editions}
    found |= {f"book {book.id}": code(book) for book in made.books}
    found |= {f"texts in {tag}": code(sheet_of(judged, tag)) for tag in ("es", "ar")}
    found |= {"figures": code(judged.ledger.figures), "findings": code(judged.findings)}
    return found | {"search": code(made.reader), "places": code(made.hrefs)}


@pytest.mark.parametrize("content", [FAULTS, pytest.param(DEMO, marks=turn(0, 3))], ids=["faults", "demo"])
def test_no_seed_of_hashes_reaches_a_page(content):
    done = subprocess.run(
        [sys.executable, "-c", TOLD, content],
        cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": SEED}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    first, other = told(content), json.loads(done.stdout)
    assert len(first) > (200 if content == DEMO else 60)
    assert [name for name in first | other if first.get(name) != other.get(name)] == []
    assert os.environ.get("PYTHONHASHSEED") != SEED, "the seeds held against each other are one"
