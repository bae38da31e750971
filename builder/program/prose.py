"""Procedures and pages as read, and the rules that prose must keep before any figure is known.

A number with a unit typed by hand is a fault: it could differ from the figure printed elsewhere. ``{literal: 60 s}``
marks one that is meant.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from datetime import date
from pathlib import Path

from builder.base.quantity import ALSO_WRITTEN, UNITS
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.markdown import Document, ProseNode, readable_prose
from builder.program.declared import asked, here, identity, made, record
from builder.program.faults import Faults, Literal
from builder.program.interval import Interval
from builder.program.localized import LocalizedText
from builder.program.reading import Fields

ROLES = ("entrant", "attendant", "supervisor", "tester", "hot-work-watch", "rescue", "contractor", "calibrator", "lead")
SECTIONS = ("home", "about", "program")
LINK_KINDS = ("gas", "area", "model", "sensor", "unit", "cylinder", "check", "procedure", "card", "page")
BUILT_PAGES = (
    "home", "areas", "gases", "detectors", "setpoints", "calibration-gas", "checks", "procedures", "conversions",
    "cards", "findings", "figures", "cautions", "glossary", "search", "revisions", "differences", "retention",
    "status", "people", "copies", "read-back", "station-log", "fitted", "forecast",
)  # fmt: skip
"""Pages the builder always makes, so prose may link to them."""

BRACED = re.compile(r"\{([^{}]*)\}")
BRACES = "\N{OBJECT REPLACEMENT CHARACTER}"
"""Stands for a pair of braces and what is in it."""
LITERAL = re.compile(r"literal:\s*(?P<text>[^|]+?)\s*(?:\|\s*(?P<why>.+))?")
_WORDS = sorted((name for name in (*UNITS, *ALSO_WRITTEN) if name), key=len, reverse=True)
_SPELLED = Path(__file__).with_name("unit_words.csv").read_text(encoding="utf-8").splitlines()
_EXTRA = [word for row in csv.DictReader(_SPELLED) for word in row["words"].split("|")]
TYPED = re.compile(
    r"(?<![\w.])\d[\d.,\u202f\u00a0]*(?:\s|\u00a0|-)?(?:"
    + "|".join(re.escape(word) for word in [*sorted(_EXTRA, key=len, reverse=True), *_WORDS])
    + r"|(?i:ppm|ppb|l/min|ml/min|kpa|°c)|%[\w/]*)(?![\w/])"
)
"""A number followed by something that reads as a unit."""


def _cautions(fields: Fields) -> tuple[Prose, ...]:
    return tuple(prose_of(given, fields.faults) for given in fields.texts("cautions", required=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """One step-by-step procedure."""

    id: str = identity("procedure")
    cautions: tuple[Prose, ...] = made(_cautions)
    title: str = made(lambda part: part.text("title").value)
    roles: tuple[Given[str], ...] = asked(Fields.choices, ROLES, required=True)
    checks: tuple[Given[str], ...] = asked(Fields.references, "check")
    areas: tuple[Given[str], ...] = asked(Fields.references, "area")
    models: tuple[Given[str], ...] = asked(Fields.references, "model")
    reviewed: Given[date] = asked(Fields.day)
    review_every: Given[Interval] = asked(Fields.interval)
    body: tuple[ProseNode, ...]
    where: Where = here("id")
    scale: Given[str] | None = asked(Fields.maybe_reference, "gas")
    """Gas that the displays are scaled in for which it is written, where that is not those of the areas it names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProsePage:
    """One page of the handbook's prose."""

    id: str = identity("page")
    title: str = made(lambda part: part.text("title").value)
    section: str = made(lambda part: part.choice("section", SECTIONS).value)
    order: int = made(lambda part: part.whole("order").value)
    body: tuple[ProseNode, ...]
    where: Where = made(lambda part: part.where_of("id"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Prose:
    """A short run of prose from a single value (a caution, a card's text)."""

    nodes: tuple[ProseNode, ...]
    where: Where
    text: str = ""
    """As written."""
    others: Mapping[str, Prose] = field(default_factory=dict)
    """The same in other languages than the site's first one."""


def read_procedure(document: Document, faults: Faults) -> Procedure:
    """A procedure from its file."""
    procedure = Fields(document.front, faults, "procedure").wholly(record(Procedure, body=document.body))
    judge_prose(document.body, faults)
    return procedure


def read_page(document: Document, faults: Faults) -> ProsePage:
    """A prose page from its file."""
    page = Fields(document.front, faults, "page").wholly(record(ProsePage, body=document.body))
    judge_prose(document.body, faults)
    return page


def prose_of(given: Given[str], faults: Faults) -> Prose:
    """Prose from one content value; faults of the Markdown are noted."""
    nodes, problems = readable_prose(given.value, given.where)
    faults.problems += problems
    judge_prose(nodes, faults)
    others = given.others if isinstance(given, LocalizedText) else {}
    said = {language: prose_of(text, faults) for language, text in others.items()}
    return Prose(nodes=nodes, where=given.where, text=given.value, others=said)


def walk(nodes: tuple[ProseNode, ...]) -> Iterator[ProseNode]:
    """Every node, in reading order."""
    for node in nodes:
        yield node
        yield from walk(node.children)


def judge_prose(nodes: tuple[ProseNode, ...], faults: Faults) -> None:
    """Note typed quantities, headings of the wrong level and links that are not references."""
    for node in walk(nodes):
        if node.kind in ("paragraph", "heading", "cell"):
            _judge_typed(node, faults)
        if node.kind == "heading" and node.level not in (2, 3):
            faults.prose(node.where, f"a heading of level {node.level}", "## or ### (the title is level 1)")
        if node.kind == "table":
            _judge_heads(node.children[0], faults)
        if node.kind == "link":
            _judge_link(node, faults)
        if node.kind in ("text", "code"):
            _judge_braces(node.text, node.where, faults)


def _judge_heads(head: ProseNode, faults: Faults) -> None:
    """Note figures in the heads of a table, which are no place for values."""
    for node in walk(head.children):
        if node.kind == "text" and BRACED.search(node.text):
            faults.prose(node.where, "a figure in the head of a table", "figures in its rows")


def _judge_typed(block: ProseNode, faults: Faults) -> None:
    """Note quantities typed by hand; number and unit may stand on two lines, or one of them in bold."""
    starts: list[tuple[int, Where]] = []
    outside = ""
    for node in walk(block.children):
        starts.append((len(outside), node.where))
        if node.kind in ("text", "code"):
            outside += BRACED.sub(BRACES, node.text)
        elif node.kind == "break":
            outside += " "
    for match in TYPED.finditer(outside):
        where = next(place for start, place in reversed(starts) if start <= match.start())
        allowed = "a figure such as {gas.methane.lel}, or {literal: ...} when it is meant"
        faults.typed(where, f"number with a unit typed by hand: {match.group()!r}", allowed)


def _judge_braces(text: str, where: Where, faults: Faults) -> None:
    """Note braces that are not closed, literals without text, and the keys of figures."""
    outside = BRACED.sub(BRACES, text)
    if "{" in outside or "}" in outside:
        faults.prose(where, "a brace without its partner", "{figure.key} or {literal: ...}")
    for match in BRACED.finditer(text):
        inner = match.group(1).strip()
        literal = LITERAL.fullmatch(inner)
        if literal:
            faults.literals.append(Literal(text=literal["text"], reason=literal["why"] or "", where=where))
        elif inner.startswith("literal"):
            faults.prose(where, f"{match.group()!r}", "{literal: text} or {literal: text | reason}")
        else:
            faults.quoted.append(Given(inner, where, match.group()))


def _judge_link(node: ProseNode, faults: Faults) -> None:
    kind, colon, name = node.text.partition(":")
    if not colon or kind not in LINK_KINDS:
        allowed = "a reference such as gas:methane, with one of " + ", ".join(LINK_KINDS)
        faults.prose(node.where, f"link to {node.text!r}", allowed)
        return
    faults.refer(kind, Given(name, node.where, node.text))
