"""Prose to blocks: figures by key, literals, references."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from builder.base.errors import Problem
from builder.base.nearest import nearest
from builder.base.where import Where
from builder.figures.ledger import Ledger
from builder.load.markdown import ProseNode
from builder.pages.blocks import (
    Block,
    Code,
    Fig,
    Heading,
    Inline,
    Inlines,
    ItemList,
    Link,
    Paragraph,
    Strong,
    Table,
    Text,
)
from builder.program.prose import BRACED, LITERAL


@dataclass(frozen=True, slots=True, kw_only=True)
class Literal:
    """A number with a unit that an author typed on purpose."""

    text: str
    reason: str
    where: Where


@dataclass(slots=True, kw_only=True)
class ProseContext:
    """What prose is resolved against; collects unknown keys and literals on the way."""

    ledger: Ledger
    titles: Callable[[str], str]
    """Title of a reference, for links without text."""
    problems: list[Problem] = field(default_factory=list)
    literals: dict[Where, list[Literal]] = field(default_factory=dict)

    def continued(self) -> ProseContext:
        """One to go on with, so that this one stays as it is."""
        literals = {where: list(found) for where, found in self.literals.items()}
        return ProseContext(ledger=self.ledger, titles=self.titles, problems=[*self.problems], literals=literals)

    def all_literals(self) -> tuple[Literal, ...]:
        """Every literal met, in file order, each once."""
        found = {literal for group in self.literals.values() for literal in group}
        return tuple(sorted(found, key=lambda literal: (literal.where, literal.text)))


def prose_blocks(nodes: Iterable[ProseNode], context: ProseContext, steps: bool = False) -> tuple[Block, ...]:
    """Blocks of a run of prose.

    :param steps: whether the outermost numbered lists are the steps of a procedure.
    """
    return tuple(_block(node, context, steps) for node in nodes)


def prose_inlines(nodes: Iterable[ProseNode], context: ProseContext) -> Inlines:
    """Inline content of a single-paragraph prose; several paragraphs are joined by a space."""
    made: list[Inline] = []
    for node in nodes:
        if made:
            made.append(Text(" "))
        made += _inlines(node.children, context)
    return tuple(made)


def _block(node: ProseNode, context: ProseContext, steps: bool) -> Block:
    if node.kind == "heading":
        return Heading(level=node.level, content=_inlines(node.children, context))
    if node.kind in ("bullet_list", "ordered_list"):
        ordered = node.kind == "ordered_list"
        items = tuple(prose_blocks(item.children, context) for item in node.children)
        return ItemList(
            items=items, ordered=ordered, start=max(node.level, 1), kind="steps" if ordered and steps else ""
        )
    if node.kind == "table":
        head, *rows = node.children
        links = ((index, _link(cell)) for index, cell in enumerate(head.children))
        return Table(
            columns=tuple(_plain(cell, context) for cell in head.children),
            explained=tuple((index, target) for index, target in links if target),
            rows=tuple(tuple(_inlines(cell.children, context) for cell in row.children) for row in rows),
        )
    return Paragraph(content=_inlines(node.children, context))


def _plain(node: ProseNode, context: ProseContext) -> str:
    """The words of the head of a table; a figure there is a fault, since heads are no place for values."""
    if node.kind == "link":
        return "".join(_plain(child, context) for child in node.children) or context.titles(node.text)
    if node.kind == "text" and BRACED.search(node.text):
        context.problems.append(Problem(node.where, "a figure in the head of a table", "figures in its rows"))
    return node.text + "".join(_plain(child, context) for child in node.children)


def _link(node: ProseNode) -> str:
    """The first target inside, or empty."""
    if node.kind == "link":
        return node.text
    return next((target for child in node.children if (target := _link(child))), "")


def _inlines(nodes: Iterable[ProseNode], context: ProseContext) -> Inlines:
    made: list[Inline] = []
    for node in nodes:
        if node.kind == "text":
            made += _text(node, context)
        elif node.kind == "code":
            made.append(Code(node.text))
        elif node.kind == "break":
            made.append(Text(" "))
        elif node.kind == "link":
            content = _inlines(node.children, context) or (Text(context.titles(node.text)),)
            made.append(Link(node.text, content))
        else:
            made.append(Strong(_inlines(node.children, context)))
    return tuple(made)


def _text(node: ProseNode, context: ProseContext) -> list[Inline]:
    made: list[Inline] = []
    at = 0
    for match in BRACED.finditer(node.text):
        if match.start() > at:
            made.append(Text(node.text[at : match.start()]))
        made.append(_braced(match.group(1).strip(), node.where, context))
        at = match.end()
    if at < len(node.text):
        made.append(Text(node.text[at:]))
    return made


def _braced(inner: str, where: Where, context: ProseContext) -> Inline:
    literal = LITERAL.fullmatch(inner)
    if literal:
        found = Literal(text=literal["text"], reason=literal["why"] or "", where=where)
        context.literals.setdefault(where, []).append(found)
        return Text(found.text.replace(" ", "\u00a0"))
    key = context.ledger.resolve(inner)
    if key is None:
        known = [*context.ledger.figures, *context.ledger.aliases]
        problem = Problem(where, f"no figure has the key {inner!r}", "a key of docs/keys.md", nearest(inner, known))
        context.problems.append(problem)
        return Text("?")
    return Fig(key)
