"""Pocket cards as their authors compose them."""

from __future__ import annotations

from dataclasses import dataclass

from builder.base.quantity import Quantity
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.prose import Prose, prose_of
from builder.program.reading import Faults, Fields, quantity_of
from builder.program.site import LANGUAGES

AUDIENCES = ("entrant", "attendant", "tester", "hot-work-watch", "rescue", "contractor", "calibrator")
FORMATS = ("A7", "ID-1", "A6")
BLOCKS: dict[str, tuple[str, ...]] = {
    "alarm-actions": ("channels",),
    "limits": ("channels",),
    "corrections": ("gases", "readings"),
    "not-seen": (),
    "before-use": ("steps",),
    "bump": ("cylinder",),
    "cylinder": ("cylinder",),
    "hose": (),
    "oxygen": (),
    "contacts": (),
    "lone-worker": ("model",),
    "conversions": ("gases",),
    "text": ("body",),
}
"""Block name -> the keys it takes beside ``title``."""
NEED_AREA = ("alarm-actions", "limits", "corrections", "not-seen", "hose", "oxygen")


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockSpec:
    """One block of a card as written."""

    name: str
    title: Given[str] | None
    channels: tuple[Given[str], ...]
    gases: tuple[Given[str], ...]
    readings: tuple[Given[Quantity], ...]
    cylinder: Given[str] | None
    model: Given[str] | None
    steps: tuple[Prose, ...]
    body: Prose | None
    where: Where


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


def read_card(node: Node, faults: Faults) -> CardSpec:
    """A card from its file."""
    fields = Fields(node, faults, "card")
    identity = fields.identity("card")
    card = CardSpec(
        id=identity.value,
        title=fields.text("title").value,
        audience=fields.choice("audience", AUDIENCES).value,
        area=fields.maybe_reference("area", "area"),
        model=fields.maybe_reference("model", "model"),
        format=fields.choice("format", FORMATS).value,
        languages=fields.choices("languages", LANGUAGES, required=True),
        front=_side(fields, "front", required=True),
        back=_side(fields, "back", required=False),
        where=identity.where,
    )
    fields.close()
    for block in (*card.front, *card.back):
        if block.name in NEED_AREA and card.area is None:
            faults.add(block.where, f"block {block.name!r} on a card without area", "area: on the card")
    return card


def _side(fields: Fields, side: str, *, required: bool) -> tuple[BlockSpec, ...]:
    made: list[BlockSpec] = []
    for part in fields.records(side, "block", required=required):
        made.append(_block(part))
        part.close()
    return tuple(made)


def _block(fields: Fields) -> BlockSpec:
    given = fields.choice("block", BLOCKS)
    known = given.value != "" and given.value == given.text
    name = given.value if known else ""
    takes = BLOCKS.get(name, ())
    if not known:
        fields.pass_over()
    faults = fields.faults
    channels = fields.texts("channels") if "channels" in takes else ()
    for channel in channels:
        faults.refer("channel", channel)
    readings = fields.scalars("readings") if "readings" in takes else ()
    body = fields.text("body") if "body" in takes else None
    steps = fields.texts("steps", required=True) if "steps" in takes else ()
    title = fields.maybe_text("title")
    if name == "text" and title is None:
        faults.add(fields.where, "a text block without title", "title: on a text block")
    return BlockSpec(
        name=name,
        title=title,
        channels=channels,
        gases=fields.references("gases", "gas") if "gases" in takes else (),
        readings=tuple(quantity_of(s, ("%LEL",), faults, "readings", above=True) for s in readings),
        cylinder=fields.reference("cylinder", "cylinder") if "cylinder" in takes else None,
        model=fields.reference("model", "model") if "model" in takes else None,
        steps=tuple(prose_of(step, faults) for step in steps),
        body=prose_of(body, faults) if body else None,
        where=fields.where,
    )
