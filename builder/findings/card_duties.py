"""Which cards a place must have, and which blocks the card of each role must carry."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from builder.program.areas import Area
from builder.program.cards import BlockSpec, CardSpec
from builder.program.program import Program

HOT_WORK_SOURCE = "29 CFR 1910.252 (a)(2)(iii)(B)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One block that a role's card must carry."""

    block: str
    why: str
    source: str
    vital: bool = False
    """Whether an entrant of a confined space must not be without it."""
    in_front: bool = False
    """Whether it must stand where the card is looked at first."""


ROLES: Mapping[str, tuple[Need, ...]] = {
    "entrant": (
        Need(block="alarm-actions", why="what to do at each alarm", source="29 CFR 1910.146 (h)(5)(iv)", vital=True),
        Need(
            block="contacts",
            why="whom to call",
            source="29 CFR 1910.146 (h)(4) and (d)(9)",
            vital=True,
            in_front=True,
        ),
        Need(block="duties", why="when to leave without an alarm", source="29 CFR 1910.146 (h)(4) and (5)"),
        Need(block="before-use", why="what to do with the equipment first", source="29 CFR 1910.146 (h)(2)"),
    ),
    "attendant": (
        Need(block="duties", why="never to go in, to count, to order out, to call", source="29 CFR 1910.146 (i)"),
        Need(block="contacts", why="how to summon rescue", source="29 CFR 1910.146 (i)(7)", in_front=True),
    ),
    "tester": (
        Need(block="test-order", why="the order of testing", source="29 CFR 1910.146 (c)(5)(ii)(C)"),
        Need(block="alarm-actions", why="what to do at each alarm", source="29 CFR 1910.146 (h)(5)(iv)"),
        Need(block="duties", why="from where to test, and to tell", source="29 CFR 1910.146 (d)(5)"),
        Need(block="contacts", why="whom to call", source="29 CFR 1910.146 (d)(9)", in_front=True),
    ),
    "rescue": (
        Need(block="rescue", why="what stops a rescuer on air", source="29 CFR 1910.146 (k)(2)"),
        Need(block="duties", why="his own air first, and the line", source="29 CFR 1910.146 (k)(2) and (3)"),
        Need(block="contacts", why="whom to call", source="29 CFR 1910.146 (d)(9)", in_front=True),
    ),
    "hot-work-watch": (
        Need(block="alarm-actions", why="what stops the work", source="common practice, no published source"),
        Need(block="duties", why="extinguisher, fire alarm and how long to watch", source=HOT_WORK_SOURCE),
        Need(block="contacts", why="how to sound an alarm", source=HOT_WORK_SOURCE, in_front=True),
    ),
}
"""By role, in the order in which cards are asked for."""


def roles_of(area: Area) -> Iterator[tuple[str, str]]:
    """Roles that need a card in an area, with the source that says so."""
    if area.entered:
        yield "entrant", "29 CFR 1910.146 (h)"
        yield "attendant", "29 CFR 1910.146 (i)"
        yield "tester", "29 CFR 1910.146 (c)(5)(ii)(C) and (d)(5)"
        yield "rescue", "29 CFR 1910.146 (k)"
    if area.hot_work:
        yield "hot-work-watch", HOT_WORK_SOURCE


def bundles(program: Program, area: Area, role: str) -> Iterator[tuple[CardSpec, ...]]:
    """Cards of a role that one person carries: all of an area for one model, or for none by name."""
    found: dict[str, list[CardSpec]] = {}
    for card in program.cards.values():
        if card.area and card.area.value == area.id and card.audience == role:
            found.setdefault(card.model.value if card.model else "", []).append(card)
    yield from map(tuple, found.values())


def first_seen(card: CardSpec) -> tuple[BlockSpec, ...]:
    """Blocks of the side or panel that is looked at first; of a card in two languages both sides are the same."""
    return card.panels[0] if card.panels else card.front


def carries(cards: tuple[CardSpec, ...], need: Need) -> bool:
    """Whether any card of a bundle has a block, and has it where it must be."""
    looked_at = (first_seen(card) if need.in_front else card.blocks for card in cards)
    return any(block.name == need.block for blocks in looked_at for block in blocks)
