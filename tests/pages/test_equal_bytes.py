"""The plain data of all pages, cards and papers of the demo are the same whatever the seed of hashes."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SEEDS = ("0", "1", "2026")
COMPOSE = """
import hashlib, json, sys
from dataclasses import fields
from datetime import date
from pathlib import Path
from builder.pipeline import compose, judge

def code(thing):
    return hashlib.sha256(repr(thing).encode()).hexdigest()

judged = judge(Path(sys.argv[1]), date(2026, 11, 25))
made = compose(judged)
told = {page.id: code(page) for page in made.pages} | {f"card {card.name}": code(card) for card in made.cards}
told |= {field.name: code(getattr(made.outputs, field.name)) for field in fields(made.outputs)}
told |= {"figures": code(judged.ledger.figures), "findings": code(judged.findings)}
told |= {"search": code(made.reader), "places": code(made.hrefs)}
print(json.dumps(told))
"""


def composed_with(seed: str) -> dict[str, str]:
    done = subprocess.run(
        [sys.executable, "-c", COMPOSE, str(ROOT / "content")],
        cwd=ROOT, env={**os.environ, "PYTHONHASHSEED": seed}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return json.loads(done.stdout)


def test_no_seed_of_hashes_reaches_a_page():
    first, *others = (composed_with(seed) for seed in SEEDS)
    assert len(first) > 200
    for other in others:
        assert [name for name in first | other if first.get(name) != other.get(name)] == []
