"""Prose to blocks: figures by key, literals, references."""

from collections.abc import Callable, Iterable

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.figures.ledger import Ledger
from builder.load.markdown import ProseNode
from builder.pages import blocks
from builder.program.program import Program
from builder.program.prose import BRACED, LITERAL

NOT_KNOWN = "not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProseContext:
    """What prose is resolved against; ``unresolved_keys`` has refused what no figure can answer."""

    ledger: Ledger
    titles: Callable[[str], str]
    """Title of a reference, for links without text."""


def unresolved_keys(program: Program, ledger: Ledger) -> tuple[Problem, ...]:
    """A fault for each key in prose that no figure has, with the nearest that one has.

    What is only not there for now is none: a record must not stop a site (``figure-not-known`` tells of it).
    """
    allowed = "a key of docs/keys.md"
    return tuple(
        Problem(
            given.where,
            f"no figure has the key {given.value!r}",
            allowed,
            ledger.nearest(given.value),
            kind=Kind.FIGURE_UNKNOWN,
        )
        for given in program.quoted
        if ledger.resolve(given.value) is None and not program.may_return(given.value)
    )


def prose_blocks(nodes: Iterable[ProseNode], context: ProseContext, steps: bool = False) -> tuple[blocks.Block, ...]:
    """Blocks of a run of prose.

    :param steps: whether the outermost numbered lists are the steps of a procedure.
    """
    return tuple(_block(node, context, steps) for node in nodes)


def prose_inlines(nodes: Iterable[ProseNode], context: ProseContext) -> blocks.Inlines:
    """Inline content of a single-paragraph prose; several paragraphs are joined by a space."""
    made: list[blocks.Inline] = []
    for node in nodes:
        if made:
            made.append(blocks.Text(" "))
        made += _inlines(node.children, context)
    return tuple(made)


def _block(node: ProseNode, context: ProseContext, steps: bool) -> blocks.Block:
    if node.kind == "heading":
        return blocks.Heading(level=node.level, content=_inlines(node.children, context))
    if node.kind in ("bullet_list", "ordered_list"):
        ordered = node.kind == "ordered_list"
        items = tuple(prose_blocks(item.children, context) for item in node.children)
        return blocks.ItemList(
            items=items, ordered=ordered, start=max(node.level, 1), kind="steps" if ordered and steps else ""
        )
    if node.kind == "table":
        head, *rows = node.children
        links = ((index, _link(cell)) for index, cell in enumerate(head.children))
        return blocks.Table(
            columns=tuple(_plain(cell, context) for cell in head.children),
            explained=tuple((index, target) for index, target in links if target),
            rows=tuple(tuple(_inlines(cell.children, context) for cell in row.children) for row in rows),
        )
    return blocks.Paragraph(content=_inlines(node.children, context))


def _plain(node: ProseNode, context: ProseContext) -> str:
    """The words of the head of a table."""
    if node.kind == "link":
        return "".join(_plain(child, context) for child in node.children) or context.titles(node.text)
    return node.text + "".join(_plain(child, context) for child in node.children)


def _link(node: ProseNode) -> str:
    """The first target inside, or empty."""
    if node.kind == "link":
        return node.text
    return next((target for child in node.children if (target := _link(child))), "")


def _inlines(nodes: Iterable[ProseNode], context: ProseContext) -> blocks.Inlines:
    made: list[blocks.Inline] = []
    for node in nodes:
        if node.kind == "text":
            made += _text(node, context)
        elif node.kind == "code":
            made.append(blocks.Code(node.text))
        elif node.kind == "break":
            made.append(blocks.Text(" "))
        elif node.kind == "link":
            content = _inlines(node.children, context) or (blocks.Text(context.titles(node.text)),)
            made.append(blocks.Link(node.text, content))
        else:
            made.append(blocks.Strong(_inlines(node.children, context)))
    return tuple(made)


def _text(node: ProseNode, context: ProseContext) -> list[blocks.Inline]:
    made: list[blocks.Inline] = []
    at = 0
    for match in BRACED.finditer(node.text):
        if match.start() > at:
            made.append(blocks.Text(node.text[at : match.start()]))
        made.append(_braced(match.group(1).strip(), context))
        at = match.end()
    if at < len(node.text):
        made.append(blocks.Text(node.text[at:]))
    return made


def _braced(inner: str, context: ProseContext) -> blocks.Inline:
    literal = LITERAL.fullmatch(inner)
    if literal:
        return blocks.Text(literal["text"].replace(" ", "\u00a0"))
    key = context.ledger.resolve(inner)
    return blocks.Fig(key) if key else blocks.Absent(NOT_KNOWN)
