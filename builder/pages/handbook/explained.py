"""Leads from the first use of a word of the trade on a page to the glossary; the words themselves stay as they are.

Heads of tables, labels and running text are looked through in reading order. Titles, links, actions and warnings are
left alone: nothing may stand between a reader and what to do.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache, lru_cache
from operator import is_
from typing import TypeVar

from builder.pages.blocks import Block, Fold, Inline, Inlines, ItemList, Link, Notice, Paragraph, Table, Text
from builder.pages.compositions import Page
from builder.pages.handbook.glossary import GlossaryTerm, all_terms

T = TypeVar("T")
LEFT_ALONE = ("figures:", "page:figures", "page:formulas", "page:findings", "page:glossary", "page:search")
"""Pages that explain themselves, list everything, or quote."""
CALM = ("assumes", "note")
"""Kinds of notice in which a word may lead elsewhere."""


def with_terms(pages: Iterable[Page]) -> tuple[Page, ...]:
    """The same pages; on each the first use of every term leads to the glossary."""
    return tuple(page if page.id.startswith(LEFT_ALONE) else _Linker().page(page) for page in pages)


NUMBER = re.compile(r"\b\d")


@cache
def _phrases() -> tuple[re.Pattern[str], dict[str, str]]:
    """What finds every phrase, the longest first, and phrase in small letters -> id of its term."""
    written = {phrase: term for term in all_terms() for phrase in term.phrases}
    found = (_met_as(phrase, written[phrase]) for phrase in sorted(written, key=len, reverse=True))
    pattern = re.compile(rf"(?<![\w%-])({'|'.join(found)})s?(?![\w-])")
    return pattern, {phrase.lower(): term.id for phrase, term in written.items()}


def _met_as(phrase: str, term: GlossaryTerm) -> str:
    """The phrase with a small or capital first letter; letters after it count as they are written."""
    first, rest = phrase[0], re.escape(phrase[1:])
    exact = not first.isalpha() or (first.isupper() and phrase in term.linked)
    return re.escape(phrase) if exact else f"[{first.lower()}{first.upper()}]{rest}"


class _Linker:
    """Goes through one page and remembers what was explained."""

    def __init__(self) -> None:
        self._done: set[str] = set()

    def page(self, page: Page) -> Page:
        blocks = self._blocks(page.blocks)
        return page if blocks is page.blocks else replace(page, blocks=blocks)

    def _blocks(self, blocks: tuple[Block, ...]) -> tuple[Block, ...]:
        return _same(blocks, tuple([self._block(block) for block in blocks]))

    def _block(self, block: Block) -> Block:
        """What holds no term stays the very same record, which most do."""
        if isinstance(block, Paragraph):
            words = self._inlines(block.content)
            return block if words is block.content else Paragraph(words)
        if isinstance(block, ItemList):
            items = _same(block.items, tuple([self._blocks(item) for item in block.items]))
            return block if items is block.items else replace(block, items=items)
        if isinstance(block, Fold) or (isinstance(block, Notice) and block.kind in CALM):
            content = self._blocks(block.content)
            return block if content is block.content else replace(block, content=content)
        if isinstance(block, Table):
            explained = block.explained or tuple(self._heads(block.columns))
            rows = tuple([_same(row, tuple([self._inlines(cell) for cell in row])) for row in block.rows])
            if explained == block.explained and _same(block.rows, rows) is block.rows:
                return block
            return replace(block, explained=explained, rows=rows)
        return block

    def _heads(self, columns: Iterable[str]) -> Iterator[tuple[int, str]]:
        """A head has one link at most: its whole text. One that holds a number says more than a term."""
        for index, name in enumerate(columns):
            term = "" if NUMBER.search(name) else next((term for _, _, term in self._met(name)), "")
            if term:
                yield index, term

    def _inlines(self, nodes: Inlines) -> Inlines:
        for node in nodes:
            if isinstance(node, Text) and _terms_in(node.text):
                break
        else:
            return nodes
        made: list[Inline] = []
        for node in nodes:
            made += self._split(node) if isinstance(node, Text) else (node,)
        return tuple(made)

    def _split(self, node: Text) -> list[Inline]:
        made: list[Inline] = []
        end = 0
        for start, stop, term in self._met(node.text):
            made += [Text(node.text[end:start])] if start > end else []
            made.append(Link(term, (Text(node.text[start:stop]),), quiet=True))
            end = stop
        rest = node.text[end:]
        return [*made, Text(rest)] if rest or not made else made

    def _met(self, text: str) -> Iterator[tuple[int, int, str]]:
        """Start, end and reference of every term that this page has not explained before."""
        for start, end, term in _terms_in(text):
            if term not in self._done:
                self._done.add(term)
                yield start, end, f"term:{term}"


def _same(old: tuple[T, ...], new: tuple[T, ...]) -> tuple[T, ...]:
    """The old one, where every part is the very same."""
    return old if all(map(is_, old, new)) else new


@lru_cache(maxsize=1 << 14)
def _terms_in(text: str) -> tuple[tuple[int, int, str], ...]:
    """Start, end and id of every term in a text; pages of one kind say most things alike."""
    pattern, terms = _phrases()
    return tuple((match.start(), match.end(), terms[match[1].lower()]) for match in pattern.finditer(text))
