"""Each block is given the longest word and the largest number: it must fit with all of it printed, or be refused."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import fields, is_dataclass, replace
from datetime import date
from pathlib import Path

import pytest

from builder import pipeline
from builder.base.errors import FitError
from builder.pages.blocks import Code, Strong, Text, figures_in
from builder.program.cards import BLOCKS
from builder.render.cards import render_cards

MINIMAL = Path(__file__).parents[1] / "sites/minimal"
WORD = "Gasmessgeraetepruefungsbescheinigungsamt"
NUMBER = "987654"
MM = 72 / 25.4
EVERY_BLOCK = """
id: every-block
title: Valve pit
audience: tester
area: pit
model: two-pumped
format: A7
languages: [en]
front:
  - {block: alarm-actions}
  - {block: limits}
  - {block: corrections, gases: [propane], readings: [5 %LEL]}
  - {block: not-seen}
  - {block: before-use, steps: [Bump test done today? No - do not enter.]}
  - {block: bump, cylinder: c-001}
  - {block: cylinder, cylinder: c-001}
  - {block: test-order}
  - {block: hose}
  - {block: oxygen}
  - {block: contacts}
  - {block: lone-worker, model: two-pumped}
  - {block: conversions, gases: [methane, propane]}
  - {block: qr}
  - {block: text, title: Post, body: "Stay outside. Never go in below {limit.pit.oxygen-low}."}
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    folder = tmp_path_factory.mktemp("card-attack") / "site"
    shutil.copytree(MINIMAL, folder)
    spare = [name for name in BLOCKS if f"block: {name}" not in EVERY_BLOCK and f"block: {name}," not in EVERY_BLOCK]
    extra = "".join(f"  - {{block: {name}}}\n" for name in spare)
    (folder / "cards/every.yaml").write_text(EVERY_BLOCK + extra, encoding="utf-8")
    judged = pipeline.judge(folder, date(2026, 11, 25))
    composed = pipeline.compose(judged, draft=False)
    return next(card for card in composed.cards if card.id == "every-block"), judged.ledger.figures


def planted(node, word):
    """The records with the first word of every text made a very long one."""
    if isinstance(node, (Text, Code)):
        text = re.sub(r"[^\W\d_]+", word, node.text, count=1)
        return replace(node, text=text)
    if isinstance(node, tuple):
        return tuple(planted(part, word) for part in node)
    if isinstance(node, str) or not is_dataclass(node):
        return node
    changed = {
        part.name: planted(getattr(node, part.name), word)
        for part in fields(node)
        if part.name in ("content", "items", "rows", "blocks")
    }
    return replace(node, **changed)


def words_of(node):
    if isinstance(node, (Text, Code)):
        yield node.text
    elif isinstance(node, tuple):
        for part in node:
            yield from words_of(part)
    elif is_dataclass(node) and not isinstance(node, Strong):
        for part in fields(node):
            yield from words_of(getattr(node, part.name))


def boxes(pdf):
    done = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    word = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
    return [(text, *(float(number) / MM for number in numbers)) for *numbers, text in word.findall(done)]


def survives(card, figures, needed):
    """Whether it fits, seen by another reader; a refusal names the block and millimetres."""
    name = card.sides[0].blocks[0].name
    try:
        [made] = render_cards([card], figures)
    except FitError as error:
        named = [fault for fault in error.faults if f"block {name}: " in fault]
        assert any(" mm " in fault or "printed over" in fault for fault in named), error.faults  # noqa: PT017 - one of two ends
        return False
    found = boxes(made.pdf)
    for text, left, top, right, bottom in found:
        assert left >= 2.9, text
        assert right <= 74 - 2.9, text
        assert top >= 2, text
        assert bottom <= 105 - 2, text
    printed = "".join(one[0] for one in found)
    for text in needed:
        assert text in printed
    return True


def alone(site, name):
    card, figures = site
    one = next(block for block in card.sides[0].blocks if block.name == name)
    return replace(card, sides=(replace(card.sides[0], blocks=(one,)),), area=""), figures


@pytest.mark.parametrize("name", list(BLOCKS))
def test_the_block_itself_fits(site, name):
    card, figures = alone(site, name)
    assert survives(card, figures, [])


@pytest.mark.parametrize("name", list(BLOCKS))
def test_a_word_of_forty_letters_fits_or_is_refused(site, name):
    card, figures = alone(site, name)
    block = card.sides[0].blocks[0]
    long = planted(block, WORD)
    if not any(WORD in text for text in words_of(long.blocks)):
        long = replace(block, title=WORD)
    survives(replace(card, sides=(replace(card.sides[0], blocks=(long,)),)), figures, [WORD])


@pytest.mark.parametrize("name", list(BLOCKS))
def test_a_number_of_six_digits_fits_or_is_refused(site, name):
    card, figures = alone(site, name)
    keys = set(figures_in(card.sides))
    large = {key: replace(one, text=NUMBER) if key in keys else one for key, one in figures.items()}
    survives(card, large, [NUMBER] if keys else [])


@pytest.mark.parametrize(("name", "fits"), [("text", True), ("limits", False)])
def test_both_outcomes_are_met(site, name, fits):
    """Else the attacks would be too weak or too strong to show anything."""
    card, figures = alone(site, name)
    long = planted(card.sides[0].blocks[0], WORD if fits else 2 * WORD)
    assert survives(replace(card, sides=(replace(card.sides[0], blocks=(long,)),)), figures, [WORD]) is fits
