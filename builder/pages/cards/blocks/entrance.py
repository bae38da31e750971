"""Blocks of signs that hang where people go in."""

from builder.pages.blocks import Block, Paragraph, Qr, between
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, make, words
from builder.pages.compositions import CardBlock
from builder.program.areas import Hazard
from builder.program.cards import BlockSpec
from builder.program.sensors import OXYGEN

OXYGEN_RISKS = {
    "deficiency": "Too little oxygen",
    "enrichment": "Too much oxygen",
    "both": "Too little or too much oxygen",
}


@composes("in-the-air")
def in_the_air(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Every hazard of the area by its name, in the author's order."""
    found = dict.fromkeys(_hazard(context, hazard) for hazard in context.area.hazards)
    return make(context, spec, context.text("Can be in the air"), (Paragraph(between(found)),))


def _hazard(context: CardContext, hazard: Hazard) -> str:
    gas = hazard.gas.value
    return context.text(OXYGEN_RISKS[hazard.risk]) if gas == OXYGEN else context.gas(gas)


@composes("area-page")
def area_page(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Where all about the area is told; a square code where the site is published."""
    at, area = context.program.site.published_at, context.area
    says = context.text("All about this place: {area}", area=context.named(area))
    address = f"{at.value.rstrip('/')}/areas/{area.id}.html" if at else ""
    told: Block = Qr(before="", says=says, address=address) if at else Paragraph(words(says))
    return make(context, spec, "", (told,))
