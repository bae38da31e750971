"""A page of the site as it stands in a book: without what helps only on a screen, and without empty parts."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from itertools import zip_longest
from typing import Final

from builder.figures.figure import NO_BREAK_SPACE
from builder.pages.blocks import Block, Chart, Fig, Fold, Heading, Inlines, Notice, Paragraph, Table, Text
from builder.pages.books.book import ALARMS, PROCEDURE
from builder.pages.compositions import Page, links_in
from builder.pages.handbook.labels import small
from builder.pages.handbook.procedures import REVIEW_DUE, REVIEWED
from builder.pages.handbook.uses import USES
from builder.pages.reader_tools import Converter, Corrector

LEFT_OUT: Final[Mapping[str, frozenset[str]]] = {
    "model": frozenset({"Units", "Where it is used", "Loud enough?"}),
    "sensor": frozenset({"What must be displayed in a check"}),
    "cylinder": frozenset({"Units checked with it", "Its gas beside the alarms of the units bumped with it"}),
    "check": frozenset({"Units", "Acceptance windows"}),
    "gas": frozenset({"Cylinders that hold it", "Explosive limits as each table prints them"}),
}
"""Kind of page -> headings of parts, and captions of tables, that stand elsewhere or change too often for paper."""
ON_SCREEN: Final = (
    *(f"page:{name}" for name in ("findings", "conversions", "status", "differences", "search", "records")),
    "due:",
    "figure:",
)
"""Pages that are no use on paper, by the beginnings of their references."""
REVIEWS: Final = ((REVIEWED, " Reviewed "), (REVIEW_DUE, " Next review by "))
"""Facts of a procedure that paper tells, and how."""
ALIKE: Final = ("model:", "sensor:", "gas:")
"""Pages of which a chapter has many, each with the same lead."""
SETPOINTS: Final = "page:setpoints"
HEAD: Final = 2
"""Level of a heading that begins a part of a page."""
LONGEST_POINTER: Final = 90
"""Letters of a line that does no more than point to a page."""
PARTED: Final = 8
"""Columns that stand side by side on paper; a table of more is parted."""
PARTED_NAMED: Final = 6
"""The same of a table whose cells hold several numbers, each on one line with its name."""


def condensed(page: Page) -> Page:
    """The page for paper."""
    left_out = LEFT_OUT.get(page.id.partition(":")[0], frozenset()) | {USES}
    page = _reviewed_in_lead(page) if page.id.startswith(PROCEDURE) else page
    kept = tuple(_without(tuple(_open(page.blocks)), left_out))
    return parted(replace(page, blocks=tuple(_without_lonely_heads(kept))))


def said_once(pages: Iterable[Page]) -> Iterator[Page]:
    """The pages of a chapter: what those of a kind say alike only the first says, and none has a lead."""
    said: set[Block] = set()
    for page in pages:
        if not page.id.startswith(ALIKE):
            yield page
            continue
        kept = tuple(block for block in page.blocks if not (isinstance(block, Paragraph) and block in said))
        said |= {block for block in page.blocks if isinstance(block, Paragraph)}
        yield replace(page, lead=(), blocks=kept)


def by_channels(page: Page) -> Iterator[Page]:
    """The page of setpoints as a section for each part of its table of all areas, with what is said of its channels.

    So a change of one alarm costs one of them. Remarks below the table stand in each, what ends the page in the last.
    """
    tables = [block for block in page.blocks if isinstance(block, Table) and block.kind == "matrix"]
    if page.id != SETPOINTS or len(tables) < 2:  # noqa: PLR2004 - one holds all channels
        yield page
        return
    sections: list[list[Block]] = [[] for _ in tables]
    into = sections[:1]
    for block in page.blocks:
        if block in tables:
            sections[tables.index(block)].append(block)
            into = sections
            continue
        if isinstance(block, Heading) and block.level == HEAD:
            told = _plain(block.content)
            into = [sections[next((at for at, one in enumerate(tables) if told in one.columns), -1)]]
        for section in into:
            section.append(block)
    for at, (blocks, table) in enumerate(zip(sections, tables, strict=True)):
        title = f"{page.title}: {', '.join(map(small, table.columns[1:]))}"
        made = replace(page, title=title, blocks=tuple(blocks))
        yield replace(made, id=f"{ALARMS}{at + 1}", lead=()) if at else made


def parted(page: Page) -> Page:
    """The page with its wide tables in parts that fit on paper."""
    return replace(page, blocks=tuple(part for block in page.blocks for part in _parted(block)))


def _reviewed_in_lead(page: Page) -> Page:
    """A procedure without its table of facts: its reviews end the lead, and its steps end the page."""
    facts = [block for block in page.blocks if isinstance(block, Table) and block.kind == "facts"]
    told = {_plain(row[0]): row[1] for block in facts for row in block.rows}
    days = [(words, told[name]) for name, words in REVIEWS if name in told]
    lead = (*page.lead, *(part for words, day in days for part in (Text(words), *day, Text("."))))
    return replace(page, lead=lead, blocks=tuple(block for block in page.blocks if block not in facts))


def _open(blocks: tuple[Block, ...]) -> Iterator[Block]:
    """What is folded away on a screen stands open."""
    for block in blocks:
        if isinstance(block, Fold):
            yield from (block.heading, *_open(block.content))
        else:
            yield block


def _without(blocks: tuple[Block, ...], left_out: frozenset[str]) -> Iterator[Block]:
    """All but parts that are left out, forms, empty tables, and charts that say what a table says."""
    level = 0
    for block in blocks:
        if isinstance(block, Heading):
            if level and block.level > level:
                continue
            level = block.level if _plain(block.content) in left_out else 0
        if level or isinstance(block, (Converter, Corrector)):
            continue
        if isinstance(block, Table) and block.caption in left_out:
            continue
        if (isinstance(block, Chart) and block.x is not None) or (isinstance(block, Table) and not block.rows):
            continue
        if isinstance(block, Notice):
            yield replace(block, content=tuple(part for part in block.content if not _points_to_the_screen(part)))
        elif not _points_to_the_screen(block):
            yield block


def _points_to_the_screen(block: Block) -> bool:
    """Whether a block is a short line whose only use is a link to what no book has."""
    if not isinstance(block, Paragraph) or not any(target.startswith(ON_SCREEN) for target in links_in(block)):
        return False
    return sum(len(part.text) for part in block.content if isinstance(part, Text)) < LONGEST_POINTER


def _plain(content: Inlines) -> str:
    return "".join(part.text for part in content if isinstance(part, Text))


def _without_lonely_heads(blocks: tuple[Block, ...]) -> Iterator[Block]:
    """Headings go with the last block below them, unless something leads to them."""
    for block, after in zip_longest(blocks, blocks[1:]):
        ends = after is None or (
            isinstance(after, Heading) and isinstance(block, Heading) and after.level <= block.level
        )
        if not (isinstance(block, Heading) and ends and not block.anchor):
            yield block


def _parted(block: Block) -> Iterator[Block]:
    """A table that is too wide, in parts that each begin with its first column."""
    if not isinstance(block, Table):
        yield block
        return
    most = PARTED
    if block.kind == "matrix" and any(_several_numbers(cell) for row in block.rows for cell in row):
        most = PARTED_NAMED
        block = replace(block, rows=tuple(tuple(map(_numbers_bound, row)) for row in block.rows))
    if len(block.columns) <= most:
        yield block
        return
    count = -(-(len(block.columns) - 1) // (most - 1))
    size = -(-(len(block.columns) - 1) // count)
    for part, start in enumerate(range(1, len(block.columns), size), start=1):
        kept = (0, *range(start, min(start + size, len(block.columns))))
        yield replace(
            block,
            columns=tuple(block.columns[at] for at in kept),
            rows=tuple(tuple(row[at] for at in kept) for row in block.rows),
            caption=f"{block.caption or 'Table'}, part {part} of {count}",
            numeric=tuple(new for new, at in enumerate(kept) if at in block.numeric),
            explained=tuple((kept.index(at), target) for at, target in block.explained if at in kept),
            row_ids=block.row_ids if part == 1 else (),
        )


def _several_numbers(cell: Inlines) -> bool:
    return sum(isinstance(part, Fig) for part in cell) > 1


def _numbers_bound(cell: Inlines) -> Inlines:
    """A cell whose lines never part a name from the number after it, which could be read with the name below."""
    return tuple(
        Text(f"{part.text[:-1]}{NO_BREAK_SPACE}")
        if isinstance(part, Text) and part.text.endswith(" ") and isinstance(after, Fig)
        else part
        for part, after in zip_longest(cell, cell[1:])
    )
