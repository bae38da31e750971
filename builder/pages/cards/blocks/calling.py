"""Whom to call: the number first and largest, since it is what is looked for."""

import re
from collections.abc import Iterator

from builder.figures.figure import NO_BREAK_SPACE
from builder.pages.blocks import Inlines, Paragraph, Strong, Table, Text
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, CardRow, make, words
from builder.pages.compositions import CardBlock
from builder.program.cards import EVERYBODY, BlockSpec
from builder.program.keys.families import AREA_RESCUE_WITHIN
from builder.program.site import Contact

CALLERS = ("attendant", EVERYBODY)
NUMBER = re.compile(r"[+(]?[0-9](?:[0-9 ()/.\u00a0\u2011-]*[0-9])?")


@composes("contacts")
def contacts(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Whom to call; without a title of its own, since the number is what is looked for."""
    rows = tuple(_row(context, contact) for contact in contacts_of(context))
    table = Table(columns=("", ""), rows=rows, kind="calls", empty=context.text("no contacts"))
    return make(context, spec, "", (table, *_how_soon(context)))


def _how_soon(context: CardContext) -> Iterator[Paragraph]:
    """In what time help must be called from the area, for who stands outside and calls it."""
    if context.card.area and context.area.rescue_within and context.card.audience in CALLERS:
        within = context.decisive(AREA_RESCUE_WITHIN(area=context.area.id))
        yield Paragraph(context.sentence("Call within {time}.", time=within))


def contacts_of(context: CardContext) -> Iterator[Contact]:
    """Those that are for the card's area and reader, the area's own first."""
    area = context.card.area.value if context.card.area else ""
    serving = [contact for contact in context.program.site.contacts if contact.serves(area, context.card.reader)]
    yield from sorted(serving, key=lambda contact: not contact.areas)


def _row(context: CardContext, contact: Contact) -> CardRow:
    number, way = parted(context.content_text(contact.call))
    role, name = (context.content_text(given) for given in (contact.role, contact.name))
    told = context.text("{role}: {name}", role=whole(role[:1].upper() + role[1:]), name=name)
    who: Inlines = words(context.wording.comma.join(text for text in (told, way) if text))
    if contact.outside is not None:
        outside = (Strong((Text(whole(context.content_text(contact.outside))),)),)
        said = context.sentence("from outside {number}", number=outside)
        who = (*who, Text(context.wording.comma), *(Text(whole(p.text)) if isinstance(p, Text) else p for p in said))
    return (Strong((Text(number),)),), who


def parted(call: str) -> tuple[str, str]:
    """The number in a way to call somebody, and the other words; without a number all of it is what one looks for.

    >>> parted("internal line 4400")
    ('4400', 'internal line')
    >>> parted("radio, channel A")
    ('radio, channel A', '')
    """
    found = NUMBER.search(call)
    if found is None:
        return call, ""
    rest = f"{call[: found.start()].strip()} {call[found.end() :].strip()}"
    return whole(found.group()), rest.strip(" ,:;")


def whole(number: str) -> str:
    """A number, or a short name, that no line end cuts at a space."""
    return number.replace(" ", NO_BREAK_SPACE)
