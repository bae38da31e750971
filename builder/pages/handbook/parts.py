"""Small makers of blocks, so that the sections read as what they print."""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TypeAlias

from builder.pages.blocks import (
    Block,
    Code,
    Fold,
    Heading,
    Inline,
    Inlines,
    ItemList,
    Link,
    Notice,
    Paragraph,
    Table,
    Text,
)
from builder.pages.compositions import Page
from builder.pages.handbook.sections import crumbs_of, path_of

PLAIN_HEAD = ("", "")

Cell: TypeAlias = str | Inline | Inlines
Row: TypeAlias = tuple[Cell, ...]
"""A row of a table as a page has it."""


def inlines(*parts: str | Inline | Inlines) -> Inlines:
    """A run of inlines; strings become text, runs are joined on."""
    if len(parts) == 1 and isinstance(parts[0], str):
        return _words(parts[0])
    made: list[Inline] = []
    for part in parts:
        if isinstance(part, str):
            made.append(Text(part))
        elif isinstance(part, tuple):
            made.extend(part)
        else:
            made.append(part)
    return tuple(made)


@lru_cache(maxsize=1 << 16)
def _words(text: str) -> Inlines:
    """One text alone: derivations say the same few thousand of them a million times."""
    return (Text(text),)


def apart(text: str) -> Text:
    """A name within a sentence, or a word of a list: it is translated by itself."""
    return Text(text, apart=True)


def para(*parts: str | Inline | Inlines) -> Paragraph:
    """A paragraph."""
    return Paragraph(inlines(*parts))


def head(text: str, anchor: str = "") -> Heading:
    """A heading of level 2."""
    return Heading(2, inlines(text), anchor)


def folded(blocks: Iterable[Block]) -> tuple[Block, ...]:
    """Parts that each begin with a heading, folded away under it; what stands before the first is left as it is."""
    made: list[Block] = []
    for block in blocks:
        if isinstance(block, Heading) and block.level == 2:  # noqa: PLR2004 - the level of parts
            made.append(Fold(block, ()))
        elif made and isinstance(made[-1], Fold):
            made[-1] = Fold(made[-1].heading, (*made[-1].content, block))
        else:
            made.append(block)
    return tuple(made)


def subhead(*parts: str | Inline | Inlines, anchor: str = "") -> Heading:
    """A heading of level 3."""
    return Heading(3, inlines(*parts), anchor)


def code(text: object) -> Inlines:
    """A file place, an id or a key."""
    return (Code(str(text)),)


def to(target: str, text: str) -> Link:
    """A link with plain words."""
    return Link(target, (Text(text),))


def listed(parts: Iterable[Inline | Inlines], none: str = "none", *, mark: str = "; ") -> Inlines:
    """Parts with a mark between them (names hold commas themselves), or the words for an empty list."""
    made: list[Inline] = []
    for part in parts:
        if made:
            made.append(apart(mark) if any(sign.isalpha() for sign in mark) else Text(mark))
        made.extend(part if isinstance(part, tuple) else (part,))
    return tuple(made) or (Text(none),)


def points(parts: Iterable[Inlines]) -> tuple[Block, ...]:
    """A list of short lines; nothing when there are none."""
    items = tuple((Paragraph(part),) for part in parts)
    return (ItemList(items),) if items else ()


def facts(*rows: tuple[Cell, Cell | None]) -> Table:
    """A table of two columns; a row whose value does not apply (``None``) is left out."""
    kept = tuple((_cell(label), _cell(value)) for label, value in rows if value is not None)
    return Table(PLAIN_HEAD, kept, kind="facts")


def table(
    columns: Sequence[str], rows: Iterable[Row], *, caption: str = "", numeric: tuple[int, ...] = (),
    empty: str = "none", kind: str = "",
) -> Table:  # fmt: skip
    """A table from any iterable of rows."""
    cells = tuple(tuple(map(_cell, row)) for row in rows)
    return Table(tuple(columns), cells, caption=caption, numeric=numeric, empty=empty, kind=kind)


def _cell(content: Cell) -> Inlines:
    return content if isinstance(content, tuple) else inlines(content)


def assumes(*lines: str | Inlines) -> Notice:
    """What the numbers near it rest on."""
    return Notice("assumes", tuple(para(line) for line in lines))


def page(reference: str, title: str, section: str, lead: Inlines, blocks: Iterable[Block], *, path: str = "") -> Page:
    """A page with the crumbs its section gives it, at the path of its reference where none is told."""
    return Page(
        id=reference,
        path=path or path_of(reference),
        title=title,
        section=section,
        blocks=tuple(blocks),
        lead=lead,
        crumbs=crumbs_of(reference, section),
    )
