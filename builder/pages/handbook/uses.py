"""What uses a thing: at the foot of its page, every page of the handbook that leads there."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final

from builder.base.grouping import grouped
from builder.figures.ledger import Ledger
from builder.pages.blocks import Block, Inlines, Link, Text
from builder.pages.compositions import Page
from builder.pages.handbook.parts import facts, head, inlines, listed, para
from builder.pages.handbook.sections import group_of
from builder.program.program import Program

THINGS: Final = ("gas", "area", "unit", "cylinder", "procedure", "sensor", "model", "check")
"""Kinds of thing whose page says what uses it."""
ROWS: Final[tuple[tuple[str, str], ...]] = (
    ("area", "Work areas"),
    ("gas", "Gases"),
    ("model", "Models"),
    ("sensor", "Kinds of sensor"),
    ("unit", "Units"),
    ("cylinder", "Cylinders"),
    ("check", "Checks"),
    ("procedure", "Procedures"),
    ("card", "Pocket cards"),
    ("page", "Other pages"),
)
MANY: Final = 24
"""Up to so many pages of a kind are named; a longer list is counted, since the page itself tells of them."""
USES: Final = "What uses this"
NOT_COUNTED: Final = ("figures:", "page:search")


def with_uses(pages: tuple[Page, ...], program: Program, ledger: Ledger) -> tuple[Page, ...]:
    """The same pages; those about one thing end with what uses it, and with the first of its derivations."""
    titles = {page.id: page.title for page in pages}
    titles |= {f"card:{card.id}": card.title for card in program.cards.values()}
    users = _users(pages, program)
    first: dict[str, str] = {}
    for key in sorted(ledger.figures):
        first.setdefault(group_of(key), key)
    return tuple(
        replace(page, blocks=(*page.blocks, *_section(page, users.get(page.id, ()), titles, first)))
        if page.id.startswith(tuple(f"{kind}:" for kind in THINGS))
        else page
        for page in pages
    )


def _users(pages: Iterable[Page], program: Program) -> Mapping[str, tuple[str, ...]]:
    """Reference of a thing to the references that name it, in reading order."""
    found: dict[str, dict[str, None]] = {}
    for page in pages:
        if page.id.startswith(NOT_COUNTED):
            continue
        for target in page.links:
            if target != page.id:
                found.setdefault(target, {})[page.id] = None
    for card in program.cards.values():
        named = [f"area:{card.area.value}"] if card.area else []
        named += [f"model:{card.model.value}"] if card.model else []
        named += [f"cylinder:{block.cylinder.value}" for block in card.blocks if block.cylinder]
        for target in named:
            found.setdefault(target, {})[f"card:{card.id}"] = None
    return {target: tuple(users) for target, users in found.items()}


def _section(
    page: Page, users: Iterable[str], titles: Mapping[str, str], first: Mapping[str, str]
) -> tuple[Block, ...]:
    known = dict(ROWS)
    kinds = grouped(users, lambda user: kind if (kind := user.partition(":")[0]) in known else "page")
    rows = [(title, _named(kinds[kind], titles)) for kind, title in ROWS if kind in kinds]
    key = first.get(page.id.replace(":", ".", 1))
    if key:
        rows.append(("How its numbers were made", (Link(f"figure:{key}", (Text("derivations"),)),)))
    return (head(USES), facts(*rows) if rows else para("Nothing in this handbook names it."))


def _named(users: list[str], titles: Mapping[str, str]) -> Inlines:
    if len(users) > MANY:
        return inlines(f"{len(users)}, too many to name here")
    return listed(Link(user, (Text(titles[user]),)) for user in users)
