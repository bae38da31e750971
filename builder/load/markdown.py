"""Markdown read into a small tree that knows its lines. The only import of the Markdown library.

CommonMark with tables; raw HTML and images are off, so nothing an author types can become markup.
"""

from __future__ import annotations

from dataclasses import field
from functools import cache
from typing import TYPE_CHECKING, Any

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.nearest import Close, found_close
from builder.base.noting import Noting
from builder.base.record import dataclass
from builder.base.unseen import in_sight, unseen
from builder.base.where import Where
from builder.load.nodes import Entries
from builder.load.yaml_lines import readable_yaml

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.tree import SyntaxTreeNode


@dataclass(frozen=True, slots=True)
class ProseNode:
    """One node of prose.

    Block kinds: paragraph, heading, bullet_list, ordered_list, list_item, table, tr, cell; inline kinds: text, strong,
    em, code, link, break.
    """

    kind: str
    where: Where
    text: str = ""
    """Text of a leaf; target of a link."""
    level: int = 0
    """Level of a heading; first number of an ordered list."""
    children: tuple[ProseNode, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Document:
    """A Markdown file: its front matter and its prose."""

    file: str
    front: Entries | None
    """``None`` when it cannot be read; that is one of the problems."""
    body: tuple[ProseNode, ...]
    """What of the prose can be read."""
    problems: tuple[Problem, ...] = ()
    """Faults of form; the rest of the file is read all the same, so that one run tells of all."""


DEEPEST = 8
"""Lists within lists that prose may have; the Markdown library drops what is nested too deep without a word."""

_BLOCKS = {"paragraph", "heading", "bullet_list", "ordered_list", "list_item", "table"}
_REFUSED = {
    "code_block": "an indented code block",
    "fence": "a fenced code block",
    "blockquote": "a block quote",
    "hr": "a thematic break",
    "image": "an image",
    "html_block": "raw HTML",
    "html_inline": "raw HTML",
}


@cache
def _parser() -> MarkdownIt:
    from markdown_it import MarkdownIt  # noqa: PLC0415 - loaded at first need

    return MarkdownIt("commonmark", {"html": False, "maxNesting": 4 * DEEPEST}).enable("table")


def read_document(text: str, file: str) -> Document:
    """A Markdown file with YAML front matter between two lines of ``---``; its faults come with it."""
    front, body, start, problems = parted(text, file)
    if front is None and not body:
        return Document(file, None, (), problems)
    nodes, more = readable_prose(body, start)
    return Document(file, front, nodes, (*problems, *more))


def parted(text: str, file: str) -> tuple[Entries | None, str, Where, tuple[Problem, ...]]:
    """Front matter, what stands below it, where that begins, and what is wrong with the front matter."""
    lines, begin = text.split("\n"), Where(file, 1)
    if lines[0].rstrip() != "---":
        allowed = "front matter: a line ---, keys, a line ---"
        return None, "", begin, (Problem(begin, "no front matter", allowed, kind=Kind.PROSE_FORM),)
    end = next((n for n, line in enumerate(lines[1:], start=1) if line.rstrip() == "---"), None)
    if end is None:
        found = "front matter without an end"
        return None, "", begin, (Problem(begin, found, "a second line ---", kind=Kind.PROSE_FORM),)
    front, problems = _front("\n".join(lines[1:end]), file)
    return front, "\n".join(lines[end + 1 :]), Where(file, end + 2), problems


def _front(text: str, file: str) -> tuple[Entries | None, tuple[Problem, ...]]:
    front, problems = readable_yaml(text, file, first_line=2)
    if isinstance(front, Entries):
        return front, problems
    return None, problems or (
        Problem(Where(file, 2), "front matter is no mapping", "lines of key: value", kind=Kind.PROSE_FORM),
    )


def readable_prose(text: str, start: Where) -> tuple[tuple[ProseNode, ...], tuple[Problem, ...]]:
    """What can be read of a Markdown text, and a fault for everything that is not allowed in it."""
    from markdown_it.tree import SyntaxTreeNode  # noqa: PLC0415 - loaded at first need

    walker = _Walker(start)
    known: dict[str, Any] = {}
    nodes = walker.blocks(SyntaxTreeNode(_parser().parse(text, known)), start)
    for definition in known.get("references", {}).values():
        where = Where(start.file, start.line + definition["map"][0])
        walker.prose(where, "a link defined apart", "links such as [text](gas:methane)")
    for offset, line in enumerate(text.split("\n")):
        if "<" in line and _looks_like_tag(line):
            walker.prose(Where(start.file, start.line + offset), "raw HTML", "Markdown only")
    return nodes, tuple(walker.problems)


def _looks_like_tag(line: str) -> bool:
    after = [line[i + 1 : i + 2] for i, char in enumerate(line) if char == "<"]
    return any(char.isalpha() or char in {"/", "!"} for char in after)


def _depth(node: SyntaxTreeNode) -> int:
    """How many list items a node is in, itself counted."""
    parent = node.parent
    return (node.type == "list_item") + (_depth(parent) if parent else 0)


def _breaks(node: SyntaxTreeNode) -> int:
    """Line breaks in an inline node."""
    return (node.type in {"softbreak", "hardbreak"}) + sum(_breaks(child) for child in node.children)


class _Walker(Noting):
    """Maps the library's tree to ours."""

    def __init__(self, start: Where) -> None:
        self.file = start.file
        self.shift = start.line
        self.problems: list[Problem] = []

    def note(self, kind: Kind, where: Where, found: str, allowed: str, close: Close) -> None:
        self.problems.append(Problem(where, found, allowed, found_close(close), kind))

    def _where(self, node: SyntaxTreeNode, above: Where) -> Where:
        return Where(self.file, node.map[0] + self.shift) if node.map else above

    def blocks(self, parent: SyntaxTreeNode, above: Where) -> tuple[ProseNode, ...]:
        made: list[ProseNode] = []
        for node in parent.children:
            where = self._where(node, above)
            if node.type in _REFUSED:
                self.prose(where, _REFUSED[node.type], "headings, paragraphs, lists and tables")
            elif node.type == "table":
                made.append(self._table(node, where))
            elif node.type in _BLOCKS:
                made.append(self._block(node, where))
        return tuple(made)

    def _block(self, node: SyntaxTreeNode, where: Where) -> ProseNode:
        if node.type == "heading":
            return ProseNode("heading", where, level=int(node.tag[1]), children=self._inline_of(node, where))
        if node.type == "paragraph":
            return ProseNode("paragraph", where, children=self._inline_of(node, where))
        if node.type == "list_item" and _depth(node) > DEEPEST:
            self.prose(where, f"lists nested deeper than {DEEPEST}", "flatter lists")
            return ProseNode(node.type, where)
        level = int(node.attrs.get("start", 1)) if node.type == "ordered_list" else 0
        return ProseNode(node.type, where, level=level, children=self.blocks(node, where))

    def _table(self, node: SyntaxTreeNode, where: Where) -> ProseNode:
        rows: list[ProseNode] = []
        for part in node.children:
            for row in part.children:
                at = self._where(row, where)
                cells = tuple(ProseNode("cell", at, children=self._inline_of(cell, at)) for cell in row.children)
                rows.append(ProseNode("tr", at, children=cells))
        return ProseNode("table", where, children=tuple(rows))

    def _inline_of(self, node: SyntaxTreeNode, where: Where) -> tuple[ProseNode, ...]:
        return tuple(made for part in node.children for made in self._inside(part, where))

    def _inline(self, node: SyntaxTreeNode, where: Where) -> list[ProseNode]:
        hidden = unseen(node.content) if node.type in {"text", "code_inline"} else ""
        if hidden:
            self.hidden(where, *in_sight(hidden))
        if node.type == "text":
            return [ProseNode("text", where, text=node.content)] if node.content else []
        if node.type == "code_inline":
            return [ProseNode("code", where, text=node.content)]
        if node.type == "softbreak":
            return [ProseNode("text", where, text=" ")]
        if node.type == "hardbreak":
            return [ProseNode("break", where)]
        inner = self._inside(node, where)
        if node.type == "link":
            return [ProseNode("link", where, text=str(node.attrs.get("href", "")), children=inner)]
        if node.type in {"strong", "em"}:
            return [ProseNode(node.type, where, children=inner)]
        self.prose(where, _REFUSED.get(node.type, node.type), "text, emphasis, code and links")
        return []

    def _inside(self, node: SyntaxTreeNode, where: Where) -> tuple[ProseNode, ...]:
        made: list[ProseNode] = []
        line = where.line
        for child in node.children:
            made += self._inline(child, Where(self.file, line))
            line += _breaks(child)
        return tuple(made)
