"""A small site has few pages: what is about things of one kind stands on the page that lists them."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from builder.pages.blocks import Block, Fold, Heading, ItemList, Notice, Paragraph, Table
from builder.pages.compositions import Page
from builder.pages.handbook.parts import inlines
from builder.program.program import Program

SPOKEN: Final = ("procedure:",)
"""Pages that those in other languages lead to."""
MOST_AREAS: Final = 2
MOST_UNITS: Final = 6
MOST_JOINED: Final = 8
"""Pages of one kind that one page takes, which keeps it below what a telephone loads at once."""
HOSTS: Final = (
    ("page:gases", ("gas:",)),
    ("page:setpoints", ("page:conversions",)),
    ("page:detectors", ("model:",)),
    ("page:detectors", ("sensor:",)),
    ("page:detectors", ("unit:",)),
    ("page:calibration-gas", ("cylinder:",)),
    ("page:checks", ("check:",)),
    ("page:checks", ("due:",)),
    ("page:procedures", ("procedure:",)),
    ("page:program", ("page:revisions", "page:retention", "page:forecast", "page:records")),
    ("page:program", ("page:people", "page:copies", "page:read-back", "page:station-log", "page:fitted")),
)
"""Page that takes others in -> how the references of those begin."""
PROSE: Final = {"home": "page:home", "program": "page:program", "about": "page:cautions"}
"""Section -> the page that takes in its pages of prose."""
PRINTED: Final = ("unit:", "cylinder:")
"""Pages that square codes of labels lead to: they keep their address where labels have such codes."""


def joined_pages(pages: Sequence[Page], program: Program, *, spoken: bool = False) -> tuple[Page, ...]:
    """The pages as the site has them: each by itself, on a small site joined to that of their kind.

    :param spoken: whether there are pages in other languages, which lead to each procedure in English.
    """
    if len(program.areas) > MOST_AREAS or len(program.units) > MOST_UNITS:
        return tuple(pages)
    taken: dict[str, list[Page]] = {}
    for host, starts in HOSTS:
        kept = (*(PRINTED if program.site.published_at else ()), *(SPOKEN if spoken else ()))
        found = [page for page in pages if page.id.startswith(starts) and not page.id.startswith(kept)]
        if len(found) <= MOST_JOINED:
            taken.setdefault(host, []).extend(found)
    for page in pages:  # of prose, which says in which section it stands
        if page.path.startswith("pages/") and page.section in PROSE:
            taken.setdefault(PROSE[page.section], []).append(page)
    gone = {page.id for found in taken.values() for page in found}
    return tuple(_with(page, taken.get(page.id, ())) for page in pages if page.id not in gone)


def _with(host: Page, others: Sequence[Page]) -> Page:
    blocks = [block for page in others for block in _as_part(page)]
    holds = tuple((page.id, _anchor(page)) for page in others)
    return replace(host, blocks=(*host.blocks, *blocks), holds=(*host.holds, *holds))


def _anchor(page: Page) -> str:
    return page.id.replace(":", "-")


def _as_part(page: Page) -> Iterator[Block]:
    yield Heading(2, inlines(page.title), _anchor(page))
    if page.lead:
        yield Paragraph(page.lead)
    for block in page.blocks:
        yield _below(block, _anchor(page))


def _below(block: Block, name: str) -> Block:
    """A block under the heading of its page; its anchors are told from those of other pages."""
    match block:
        case Heading():
            return _lower(block, name)
        case Fold():
            return Fold(_lower(block.heading, name), tuple(_below(one, name) for one in block.content))
        case Notice():
            return replace(block, content=tuple(_below(one, name) for one in block.content))
        case ItemList():
            return replace(block, items=tuple(tuple(_below(one, name) for one in item) for item in block.items))
        case Table(row_ids=ids) if ids:
            return replace(block, row_ids=tuple(f"{name}-{one}" for one in ids))
        case _:
            return block


def _lower(heading: Heading, name: str) -> Heading:
    return replace(heading, level=3, anchor=f"{name}-{heading.anchor}" if heading.anchor else "")
