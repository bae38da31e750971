"""Which cards a place must have, which blocks that of each role must carry, and whom they call."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from builder.base.finding import Finding, Severity
from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.base.where import Where
from builder.figures.ledger import Ledger
from builder.findings.rule import rule
from builder.findings.sensor_coverage import SeenHazard, channels_on, hides, seen_hazards, toxic_limits
from builder.findings.wording import channel_words, short_list
from builder.program.areas import ENTERED, Area
from builder.program.cards import BlockSpec, CardSpec
from builder.program.order_words import is_emergency
from builder.program.program import Program
from builder.program.test_order import in_test_order

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
            block="contacts", why="whom to call", source="29 CFR 1910.146 (h)(4) and (d)(9)", vital=True, in_front=True
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
    cards = (card for card in program.cards.values() if card.area and card.area.value == area.id)
    of_role = (card for card in cards if card.audience == role)
    yield from map(tuple, grouped(of_role, lambda card: card.model.value if card.model else "").values())


def first_seen(card: CardSpec) -> tuple[BlockSpec, ...]:
    """Blocks of the side or panel that is looked at first; of a card in two languages both sides are the same."""
    return card.panels[0] if card.panels else card.front


def carries(cards: tuple[CardSpec, ...], need: Need) -> bool:
    """Whether any card of a bundle has a block, and has it where it must be."""
    looked_at = (first_seen(card) if need.in_front else card.blocks for card in cards)
    return any(block.name == need.block for blocks in looked_at for block in blocks)


UNSEEN = Need(block="not-seen", why="what the display does not see", source="29 CFR 1910.146 (h)(1)")


@rule(Severity.STOP, Severity.WARN)
def card_lacks_block(program: Program, ledger: Ledger) -> Iterator[Finding]:
    """A pocket card that does not carry what its role must know.

    All cards of a role for one place and model are taken together, since one person carries them. An entrant's must
    also say what the display does not see, wherever a set that is carried into the place does not see a hazard of
    it, a gas there can hide one, or a toxic one shows as a share of its explosive limit alone. Source: 29 CFR 1910.146
    (h) to (k) and (c)(5)(ii)(C), 29 CFR 1910.252 (a)(2)(iii)(B); the table of roles and blocks stands in
    ``builder.findings.rules.cards``. An entrant's card of a place that no permit guards needs the same: common
    practice, no published source.
    """
    # One a place, role and model: a stop where an entrant has no orders at alarms or no number to call
    blind = {seen.area.id for seen in seen_hazards(program) if _hidden(program, ledger, seen)}
    for area in program.areas.values():
        for role in dict.fromkeys((*(role for role, _ in roles_of(area)), "entrant")):
            needs = (*ROLES[role], *((UNSEEN,) if role == "entrant" and area.id in blind else ()))
            for cards in bundles(program, area, role):
                lacking = tuple(need for need in needs if not carries(cards, need))
                if lacking:
                    yield _finding_of_card_lacks_block(cards, lacking, entered=area.entered)


def _hidden(program: Program, ledger: Ledger, seen: SeenHazard) -> bool:
    """Whether a set does not see a hazard, another gas can hide it, or a toxic one shows in %LEL alone."""
    others = [one.gas.value for one in seen.area.hazards]
    held = (hides(program, seen.area, sensor, gas) for _, _, sensor in seen.fitted for gas in others)
    if not seen.fitted or any(seen.gas in gases for gases in held):
        return True
    return seen.only_by_lel and bool(toxic_limits(program, ledger, seen.area, seen.gas))


def _finding_of_card_lacks_block(cards: tuple[CardSpec, ...], lacking: tuple[Need, ...], *, entered: bool) -> Finding:
    card = cards[0]
    vital = entered and any(need.vital and not carries(cards, replace(need, in_front=False)) for need in lacking)
    told = "; ".join(f"{need.block}{' on its front' if need.in_front else ''} ({need.why})" for need in lacking)
    return card_lacks_block.found(
        severity=Severity.STOP if vital else Severity.WARN,
        message=f"{' and '.join(one.title for one in cards)}, for the {card.audience}: lacks {told}.",
        where=card.where,
        source="; ".join(dict.fromkeys(need.source for need in lacking)),
        mend=f"add the block{'s' if len(lacking) > 1 else ''} {', '.join(need.block for need in lacking)}",
        subject=f"card:{card.id}",
    )


@rule(Severity.WARN)
def card_missing(program: Program, area: Area) -> Iterator[Finding]:
    """A place where a role works by duties of its own, without a pocket card for that role.

    Asked of confined spaces (entrant, attendant, tester, rescue) and of hot work (its watch). Cards of the whole
    site do not count: they hold no alarm and no limit of the place. Source: 29 CFR 1910.146 (h) to (k) and
    (c)(5)(ii)(C), 29 CFR 1910.252 (a)(2)(iii)(B) for the duties; that each is on a card is what this handbook is
    for.
    """
    # A warn a place, with all roles that have no card
    missing = [(role, source) for role, source in roles_of(area) if not any(bundles(program, area, role))]
    if missing:
        yield card_missing.found(
            message=f"{area.name}: no pocket card for {', '.join(role for role, _ in missing)}.",
            where=area.where,
            source="; ".join(dict.fromkeys(source for _, source in missing)),
            mend=f"a card with area: {area.id} and audience: {missing[0][0]}",
        )


WENT_BY = ("test-order", "accept")
"""Blocks by which people go in."""


@rule(Severity.STOP, Severity.WARN, source="29 CFR 1910.146 (c)(5)(ii)(C)")
def channel_not_tested(program: Program, card: CardSpec) -> Iterator[Finding]:
    """A card that lists what is tested, or at what people go in, and leaves out a gas that has an alarm there.

    Whoever reads it goes in without a look at that gas. Blocks `test-order` are taken together on all cards of one
    role for the place, and so are blocks `accept`. Source: 29 CFR 1910.146 (c)(5)(ii)(C): the air is tested for
    oxygen, for flammable gases and vapours, and for toxic ones, in this order.
    """
    # A stop in a confined space, a warn elsewhere; one a card and kind of block
    area = program.areas[card.area.value] if card.area else None
    for name, block in {block.name: block for block in card.blocks if block.name in WENT_BY}.items():
        lacking = _untested(program, area, card, name) if area else ()
        if area and lacking:
            called = " and ".join(channel_words(channel) for channel in lacking)
            yield channel_not_tested.found(
                severity=Severity.STOP if area.entered else Severity.WARN,
                message=f"{card.title}: its block {name} leaves out {called}, for which {area.name} has alarms: "
                "whoever goes by this card does not test for that.",
                where=block.where,
                mend=f"add {', '.join(lacking)} to its channels, or leave channels out: then it prints all",
            )


def _untested(program: Program, area: Area, card: CardSpec, name: str) -> tuple[str, ...]:
    """Channels with an alarm that the card's detectors measure and that no such block of its reader prints."""
    printed = {
        channel
        for one in program.cards.values()
        if (one.audience, one.area and one.area.value) == (card.audience, area.id)
        for block in one.blocks
        if block.name == name
        for channel in {given.value for given in block.channels} or channels_on(program, area, one)
    }
    alarmed = (one for one in sorted(channels_on(program, area, card)) if program.setpoint(area.id, one))
    return in_test_order(channel for channel in alarmed if channel not in printed)


@rule(Severity.WARN, source="29 CFR 1910.146 (d)(6); elsewhere common practice, no published source")
def alone_where_entered(program: Program, card: CardSpec) -> Iterator[Finding]:
    """A card of a confined space for whoever works there alone.

    Nobody goes in without an attendant outside; a timer calls help too late for gas. Not asked where other work than
    entry is done too. Source: 29 CFR 1910.146 (d)(6), at least one attendant outside; elsewhere common practice.
    """
    area = program.areas[card.area.value] if card.area else None
    if area and card.audience == "lone-worker" and area.doing <= ENTERED:
        yield alone_where_entered.found(
            message=f"{card.title} is for whoever works alone, and {area.name} is a confined space: "
            "nobody goes in without an attendant outside.",
            where=card.where,
            mend="make it the entrant's card, or name what else is done there in the activities of the area",
        )


ENTRANT = "entrant"


@rule(Severity.STOP, Severity.WARN, source="29 CFR 1910.146 (d)(9) and 29 CFR 1910.38 (c)(1)")
def emergency_not_called(program: Program) -> Iterator[Finding]:
    """A place where whoever works has nobody to call, or nobody who is named for an emergency.

    Asked of contacts that an entrant's card of the area prints. Source: 29 CFR 1910.146 (d)(9), how rescue is
    summoned; 29 CFR 1910.38 (c)(1), how an emergency is reported; that its number is told apart from others is
    common practice.
    """
    # A stop for areas without any contact, a warn for those with none that is named for emergencies
    language = program.site.languages[0].value
    serving = {
        area.id: [one for one in program.site.contacts if one.serves(area.id, ENTRANT)]
        for area in program.areas.values()
    }
    nobody = [area for area in program.areas.values() if not serving[area.id]]
    if nobody:
        told = "whoever works there has nobody to call: no contact is for the entrant."
        yield _finding_of_emergency_not_called(Severity.STOP, nobody, told, nobody[0].where)
    unnamed = [
        area
        for area in program.areas.values()
        if serving[area.id] and not any(is_emergency(one.role.value, language) for one in serving[area.id])
    ]
    if unnamed:
        roles = dict.fromkeys(one.role.value for area in unnamed for one in serving[area.id])
        told = f"no contact is named for an emergency; they are for: {', '.join(roles)}."
        yield _finding_of_emergency_not_called(Severity.WARN, unnamed, told, serving[unnamed[0].id][0].role.where)


def _finding_of_emergency_not_called(severity: Severity, areas: list[Area], told: str, where: Where) -> Finding:
    return emergency_not_called.found(
        severity=severity,
        message=f"{short_list([area.name for area in areas])}: {told}",
        where=where,
        mend="a contact with role: emergency and without roles:, for these areas or for all",
        subject=f"area:{areas[0].id}",
    )
