"""A page that grows with what is told on it, in as many pages as a telephone can hold; no row is left out."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Final, TypeAlias

from builder.pages.blocks import Block, Heading, Inlines, Table, Text
from builder.pages.compositions import Page
from builder.pages.handbook.parts import inlines, listed, para, to

ROOM: Final = 54_000
"""What the blocks of a page may weigh, so that with all around them it stays below the 60 KiB of any page."""

Row: TypeAlias = tuple[Inlines, ...]


def parted_pages(page: Page) -> Iterator[Page]:
    """The page, and after it those that it goes on with; each names the others."""
    parts = tuple(_parts(page.blocks))
    leading = [(to(_name(page.id, at), f"part {at}"), _heads(blocks)) for at, blocks in enumerate(parts, start=1)]
    for number, blocks in enumerate(parts, start=1):
        others = listed(inlines(*one) for at, one in enumerate(leading, start=1) if at != number)
        whole = (para(f"This is part {number} of {len(parts)}. Go to ", *others, "."),) if len(parts) > 1 else ()
        yield replace(
            page,
            id=_name(page.id, number),
            path=page.path if number == 1 else page.path.replace(".html", f"-{number}.html"),
            title=page.title if number == 1 else f"{page.title}, part {number}",
            blocks=(*whole, *blocks),
        )


def _heads(blocks: Iterable[Block]) -> str:
    """What stands on a part, in brackets."""
    heads = ["".join(node.text for node in block.content if isinstance(node, Text))
             for block in blocks if isinstance(block, Heading)]  # fmt: skip
    return f" ({'; '.join(heads)})" if heads else ""


def _name(reference: str, number: int) -> str:
    """Reference of a part: that of the page, or of a kind of its own, as in ``differences:2``."""
    return reference if number == 1 else f"{reference.partition(':')[2]}:{number}"


def _parts(blocks: Iterable[Block]) -> Iterator[tuple[Block, ...]]:
    """The blocks of each page; a table goes on below its heading, and no heading stands alone at an end."""
    made: list[tuple[Block, list[Row]]] = []
    under: list[Heading] = []
    weight = 0
    for block in blocks:
        under = [block] if isinstance(block, Heading) else under
        begun = False
        for row in block.rows if isinstance(block, Table) and block.rows else (None,):
            heavy = len(repr(row or block).encode())  # about what its markup weighs
            if weight + heavy > ROOM and [one for one, _ in made if one not in under]:
                heads = [made.pop()[0]] if made[-1][0] in under else list(map(_continued, under))
                yield _put_together(made)
                made, weight, begun = [(one, []) for one in heads], 0, False
            if not begun:
                made.append((block, []))
            made[-1][1].extend([row] if row else [])
            weight, begun = weight + heavy, True
    yield _put_together(made)


def _continued(under: Heading) -> Heading:
    return replace(under, content=(*under.content, *inlines(", continued")), anchor="")


def _put_together(made: Iterable[tuple[Block, list[Row]]]) -> tuple[Block, ...]:
    return tuple(replace(block, rows=tuple(rows)) if isinstance(block, Table) else block for block, rows in made)
