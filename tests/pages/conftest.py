"""The tiny site of ``tests/sites/minimal``, read, computed and composed once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.compute import compute
from builder.figures.ledger import Ledger
from builder.load.content import load_content
from builder.pages.blocks import Link, Text
from builder.pages.handbook.compose import compose_pages
from builder.pages.handbook.derivation_words import told_in_words
from builder.pages.handbook.figure_pages import figure_pages
from builder.pages.handbook.handbook_context import names_of
from builder.pages.hrefs import hrefs
from builder.pages.prose import ProseContext, prose_blocks
from builder.program.read import read_program
from builder.reference.library import library
from tests.shared import computed_with

SITES = Path(__file__).resolve().parents[1] / "sites"
AS_OF = date(2026, 11, 25)
FINDINGS = (
    Finding(
        rule="check-overdue",
        severity=Severity.STOP,
        message="The calibration of d-001 no longer holds.",
        where=Where("inventory.yaml", 2),
        figures=("unit.d-001.calibration.due", "no.such.figure"),
        source="the check plan",
        mend="calibrate it, or take it out of use",
        subject="unit:d-001",
    ),
    Finding(
        rule="something-else",
        severity=Severity.NOTE,
        message="Something nobody has a page for.",
        where=Where("site.yaml", 1),
        subject="site:nowhere",
    ),
)


@dataclass
class Made:
    program: Any
    ledger: Any
    context: Any
    pages: Any
    hrefs: Any

    def page(self, reference):
        return next(page for page in self.pages if page.id == reference)


def composed(program, ledger, findings=FINDINGS, elsewhere=None, past=None):
    names = names_of(program)
    context = ProseContext(ledger=ledger, titles=lambda reference: names.get(reference, reference))
    told_on = figure_pages(ledger.figures)
    pages = compose_pages(
        computed_with(program, ledger),
        findings,
        lambda nodes: prose_blocks(nodes, context),
        {card: f"LEY-{card}" for card in program.cards},
        told_on,
        printed_elsewhere=elsewhere or {"gas.propane.lel": ("card:pit-entrant",)},
        past=past,
    )
    ways = hrefs(pages, ledger, told_on, program.cards.values())
    seen = tuple(told_in_words(page, ledger.figures, ledger.figures) for page in pages)  # as they are rendered
    return Made(program, ledger, context, seen, ways)


def read_site(folder):
    documents, problems = load_content(folder)
    return read_program(documents, problems, library())


@pytest.fixture(scope="session")
def program():
    return read_site(SITES / "minimal")


@pytest.fixture(scope="session")
def made(program):
    return composed(program, compute(program, AS_OF).ledger)


@pytest.fixture(scope="session")
def bare(program):
    """The same site with a ledger that knows the day and nothing else."""
    full = compute(program, AS_OF).ledger
    return composed(program, Ledger(figures={"handbook.as-of": full["handbook.as-of"]}, aliases={}, names={}))


@pytest.fixture
def compose():
    return composed


@pytest.fixture
def nodes():
    """Every record inside a page, however deep."""

    def walk(node):
        yield node
        if isinstance(node, tuple):
            for part in node:
                yield from walk(part)
        elif hasattr(node, "__slots__"):
            for name in node.__slots__:
                value = getattr(node, name)
                if not isinstance(value, str):
                    yield from walk(value)

    return walk


@pytest.fixture
def links(nodes):
    def found(page):
        crumbs = [reference for reference, _ in page.crumbs]
        return [*crumbs, *(node.target for node in nodes((page.lead, page.blocks)) if isinstance(node, Link))]

    return found


@pytest.fixture
def words(nodes):
    """All plain text of a page, and the heads and captions of its tables."""

    def found(page):
        for node in nodes((page.lead, page.blocks)):
            if isinstance(node, Text):
                yield node.text
            elif hasattr(node, "columns"):
                yield from (*node.columns, node.caption, node.empty)
            elif hasattr(node, "kind") and hasattr(node, "title"):
                yield node.title

    return found
