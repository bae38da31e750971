"""Pocket cards as their authors compose them."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import partial

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.card_blocks import CARD_BLOCKS
from builder.program.card_rescue import read_alarms
from builder.program.card_stale import refuse_stale
from builder.program.carry import ROLES
from builder.program.faults import Faults
from builder.program.localized import LocalizedText, localized_text, localized_texts, maybe_localized_text
from builder.program.own_templates import OwnTemplates
from builder.program.prose import Prose, prose_of
from builder.program.reading import Fields
from builder.program.values import quantity_of

EVERYBODY = "everybody"
"""Who reads a sign: it hangs where people go in, and nobody carries it."""
AUDIENCES = (*ROLES, "calibrator", EVERYBODY)
SIGNS = ("A4", "A5", "Letter")
"""Formats that hang."""
PANELS = {"A6-folded": 4, "strip-4": 8}
"""Folded formats, and how many panels each has on both sides together."""
FORMATS = ("A7", "ID-1", "A6", "3x5in", *PANELS, *SIGNS)
PUNCHES = ("none", "top-left", "top-centre")
FITS = ("as-set", "shrink")
POINTS = re.compile(r"(\d{1,2}(?:\.\d{1,2})?) ?pt")
LEAST_POINTS = Fraction(7)
"""Smaller type has an x-height under 1.2 mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockSpec:
    """One block of a card as written."""

    name: str
    title: Given[str] | None
    channels: tuple[Given[str], ...] = ()
    gases: tuple[Given[str], ...] = ()
    readings: tuple[Given[Quantity], ...] = ()
    cylinder: Given[str] | None = None
    check: Given[str] | None = None
    """The check whose windows are printed; the bump test where none is named."""
    model: Given[str] | None = None
    steps: tuple[Prose, ...] = ()
    body: Prose | None = None
    line: Given[str] | None = None
    """The one line of a block ``never``."""
    where: Where
    stops: tuple[Given[str], ...] = ()
    """Of a rescuer on air: alarms that send him out."""
    goes_on: tuple[Given[str], ...] = ()
    """Of a rescuer on air: alarms that do not."""
    turn_back: Prose | None = None
    """Of a rescuer on air: how much air is left when he turns back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSpec:
    """One card as written."""

    id: str
    title: str
    audience: str
    area: Given[str] | None
    model: Given[str] | None
    format: str
    languages: tuple[Given[str], ...]
    front: tuple[BlockSpec, ...]
    back: tuple[BlockSpec, ...]
    where: Where
    panels: tuple[tuple[BlockSpec, ...], ...] = ()
    """Of a folded card, in place of front and back, in the order a reader meets them."""
    punch: str = "none"
    """Where a hole is punched: ``top-left`` or ``top-centre`` of the front."""
    smallest: Fraction | None = None
    """Points down to which type may be stepped so that the card fits; ``None`` where it may not."""
    titles: LocalizedText | None = None
    """The title in every language it has."""
    scale: Given[str] | None = None
    """Gas that the displays are scaled in for which the card is meant, where that is not those of its area or model."""
    bilingual: tuple[Given[str], ...] = ()
    """Two languages where one card has its front in the first and the same on its back in the other; else empty."""

    @property
    def name(self) -> str:
        """As that of a composed card in its first language."""
        return self.id

    @property
    def sign(self) -> bool:
        """Whether it hangs at the entrance of its area."""
        return self.format in SIGNS

    @property
    def reader(self) -> str:
        """The role whose orders it gives: a sign tells everybody what the entrant does."""
        return "entrant" if self.audience == EVERYBODY else self.audience

    @property
    def spoken(self) -> tuple[Given[str], ...]:
        """Every language that is printed on a card of this kind."""
        return self.bilingual or self.languages

    @property
    def blocks(self) -> tuple[BlockSpec, ...]:
        """All blocks, in reading order."""
        return (*self.front, *self.back, *(block for panel in self.panels for block in panel))


def read_card(node: Node, faults: Faults, own: OwnTemplates | None = None) -> CardSpec:
    """A card from its file.

    :param own: the site's templates, some of which may write blocks of cards.
    """
    by_template = OnCard(own, node) if own is not None else None
    quoted = len(faults.quoted)
    fields = Fields(node, faults, "card")
    identity = fields.identity("card")
    titles = localized_text(fields, "title")
    before = len(faults.problems)
    form = fields.choice("format", FORMATS).value
    known = len(faults.problems) == before
    folded = form in PANELS and known
    card = CardSpec(
        id=identity.value,
        title=titles.value,
        titles=titles,
        audience=fields.choice("audience", AUDIENCES).value,
        area=fields.maybe_reference("area", "area"),
        model=fields.maybe_reference("model", "model"),
        format=form,
        languages=fields.choices("languages", faults.languages, required="bilingual" not in fields),
        bilingual=fields.choices("bilingual", faults.languages),
        front=() if folded else _side(fields, "front", by_template, required=known),
        back=() if folded else _side(fields, "back", by_template, required=False),
        panels=_panels(fields, form, by_template) if folded or not known else (),
        punch=fields.choice("punch", PUNCHES, "none").value,
        smallest=_smallest(fields),
        scale=fields.maybe_reference("scale", "gas"),
        where=identity.where,
    )
    fields.close()
    if card.audience == "contractor" and card.scale is None:
        allowed = "scale: the gas that their displays are set to, such as methane"
        faults.lacks(identity.where, "a card for contractors that names no scale", allowed)
    refuse_stale(faults.quoted[quoted:], faults)
    _judge_languages(card, fields)
    _judge_sign(card, fields)
    if folded and card.punch != "none":
        faults.add(fields.where_of("punch"), "a hole in a folded card", "punch: none")
    for block in card.blocks:
        needs = CARD_BLOCKS[block.name].needs if block.name else ()
        if "area" in needs and card.area is None:
            faults.lacks(block.where, f"block {block.name!r} on a card without area", "area: on the card")
    return card


def _judge_sign(card: CardSpec, fields: Fields) -> None:
    """What hangs is for everybody who goes into one area, and is read from the front; nothing else is."""
    if not card.format or not card.audience:  # told already
        return
    if card.sign is not (card.audience == EVERYBODY):
        allowed = f"audience: {EVERYBODY} with a format of {', '.join(SIGNS)}; cards that are carried have neither"
        fields.faults.add(fields.where_of("audience"), f"audience {card.audience} in format {card.format}", allowed)
    elif card.sign and (card.area is None or card.back or card.bilingual or card.punch != "none"):
        found = "a sign without area, or with a back, two languages on one or a hole"
        fields.faults.add(card.where, found, "area: and front: alone, a sign a language")


def _judge_languages(card: CardSpec, fields: Fields) -> None:
    """What the languages of a card do not go with."""
    faults = fields.faults
    names = [given.value for given in card.spoken]
    if len(set(names)) != len(names):
        faults.twice(card.spoken[0].where, "a language that stands twice", "each once")
    if "bilingual" in fields:
        at = fields.where_of("bilingual")
        if "languages" in fields or len(names) != 2:  # noqa: PLR2004 - a card has two sides
            faults.add(at, "bilingual beside languages, or not with two", "bilingual: [en, es], alone")
        if card.back or card.panels or card.format in PANELS:
            faults.add(at, "a bilingual card with a back of its own, or folded", "front alone: its back says the same")


def _panels(fields: Fields, form: str, own: OnCard | None) -> tuple[tuple[BlockSpec, ...], ...]:
    one = partial(_side, side="blocks", own=own, required=True)
    made = fields.parts("panels", "panel", one, required=form in PANELS)
    most = PANELS.get(form, len(made))
    if len(made) > most:
        fields.faults.range(fields.where_of("panels"), f"{len(made)} panels on format {form}", f"at most {most}")
    return made


def _smallest(fields: Fields) -> Fraction | None:
    """The floor of type on a card that may shrink."""
    shrinks = fields.choice("fit", FITS, FITS[0]).value == "shrink"
    given = fields.maybe_text("smallest")
    if not shrinks or given is None:
        if shrinks:
            fields.faults.lacks(
                fields.where_of("fit"), "fit: shrink without its floor", "smallest: 7.2 pt, or the like"
            )
        elif given is not None:
            fields.faults.add(given.where, "smallest: without fit: shrink", "fit: shrink beside it")
        return None
    match = POINTS.fullmatch(given.value)
    points = Fraction(match[1]) if match else Fraction(0)
    if points < LEAST_POINTS:
        found = f"{given.text!r} for 'smallest'"
        fields.faults.range(given.where, found, f"at least {LEAST_POINTS} pt, such as 7.2 pt")
        return None
    return points


def _side(fields: Fields, side: str, own: OnCard | None, *, required: bool) -> tuple[BlockSpec, ...]:
    return fields.parts(side, "block", lambda part: _block(part, own), required=required)


def _block(fields: Fields, own: OnCard | None) -> BlockSpec:
    given = fields.choice("block", dict.fromkeys((*CARD_BLOCKS, *(own.templates.blocks if own else ()))))
    known = given.value != "" and given.value == given.text
    if own is not None and known and given.value in own.templates.blocks:
        return _written(fields, given.value, own)
    name = given.value if known else ""
    takes = CARD_BLOCKS[name].takes if known else ()
    if not known:
        fields.pass_over()
    faults = fields.faults
    channels = fields.texts("channels") if "channels" in takes else ()
    for channel in channels:
        faults.refer("channel", channel)
    readings = fields.scalars("readings") if "readings" in takes else ()
    body = localized_text(fields, "body") if "body" in takes else None
    turn = localized_text(fields, "turn-back") if "turn-back" in takes else None
    steps = localized_texts(fields, "steps") if "steps" in takes else ()
    title = maybe_localized_text(fields, "title")
    if name == "text" and title is None:
        faults.lacks(fields.where, "a text block without title", "title: on a text block")
    return BlockSpec(
        name=name,
        title=title,
        channels=channels,
        gases=fields.references("gases", "gas") if "gases" in takes else (),
        readings=tuple(quantity_of(s, ("%LEL",), faults, "readings", above=True) for s in readings),
        cylinder=fields.reference("cylinder", "cylinder") if "cylinder" in takes else None,
        check=fields.maybe_reference("check", "check") if "check" in takes else None,
        model=fields.reference("model", "model") if "model" in takes else None,
        steps=tuple(prose_of(step, faults) for step in steps),
        body=prose_of(body, faults) if body else None,
        line=localized_text(fields, "line") if "line" in takes else None,
        stops=read_alarms(fields, "stops") if "stops" in takes else (),
        goes_on=read_alarms(fields, "goes-on", on=True) if "goes-on" in takes else (),
        turn_back=prose_of(turn, faults) if turn else None,
        where=fields.where,
    )


@dataclass(frozen=True, slots=True)
class OnCard:
    """The site's templates, and the card that they are to write a block of."""

    templates: OwnTemplates
    card: Node


def _written(fields: Fields, name: str, own: OnCard) -> BlockSpec:
    """A block that a template writes: plain text to whoever judges the card, also under the name of a built one."""
    usual, body = own.templates.block(name, own.card)
    title = maybe_localized_text(fields, "title") or usual
    return BlockSpec(name="text", title=title, body=body, where=fields.where)
