"""Blocks of whoever goes in or tests, and of signs that hang there: what is in the air, what to take, when to enter."""

from collections.abc import Iterator

from builder.pages.blocks import Absent, Block, Inlines, ItemList, Paragraph, Qr, Table, between
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, CardRow, make, words
from builder.pages.compositions import CardBlock
from builder.program.areas import Hazard
from builder.program.cards import BlockSpec
from builder.program.keys.families import CHECK_ALARMS_WITHIN, ENTRY_FROM, ENTRY_TO, SETPOINT
from builder.program.sensors import OXYGEN


@composes("never")
def never(context: CardContext, spec: BlockSpec) -> CardBlock:
    """One line, as large as an order."""
    if spec.line is None:
        raise ValueError("a block that says what is never done has its line")
    order = words(context.content_text(spec.line))
    return make(context, spec, "", (Table(columns=("", ""), rows=((order, ()),), kind="actions"),))


@composes("carry")
def carry(context: CardContext, spec: BlockSpec) -> CardBlock:
    """The sets of detectors of which the reader takes one, whole."""
    role = context.card.reader
    serving = (one for one in context.area.carry if not one.roles or role in {given.value for given in one.roles})
    sets = [" + ".join(context.named(context.program.models[given.value]) for given in one.models) for one in serving]
    items = tuple((Paragraph(words(said)),) for said in dict.fromkeys(sets))
    title = "Take together" if len(items) == 1 else "Take one of these"
    return make(context, spec, context.text(title), (ItemList(items=items),))


def accepted_here(context: CardContext, spec: BlockSpec) -> dict[str, Inlines]:
    """Readings at which the site lets people into the card's area, by channel; empty where it sets none for entry.

    A channel it forgot has no value: the alarm of a unit is no leave to go in.
    """
    if not context.area.entered or context.program.site.entry is None:
        return {}
    found = {
        channel: context.accepted(context.ledger, ENTRY_FROM(channel=channel), ENTRY_TO(channel=channel))
        for channel in context.channels(spec)
    }
    return {channel: said or (Absent(context.text("no value")),) for channel, said in found.items()}


@composes("accept")
def accept(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Readings at which it may be entered: what the site accepts, else all inside the alarms but their own values."""
    heads = ("Go in only when all show", "Value")
    return make(context, spec, "", (context.table(heads, _accepted(context, spec), empty="no alarms set"),))


def _accepted(context: CardContext, spec: BlockSpec) -> Iterator[CardRow]:
    accepts = accepted_here(context, spec)
    for channel in context.channels(spec):
        entry = context.program.setpoint(context.area.id, channel)
        if entry is None:
            continue
        first, *others = (
            context.decisive(SETPOINT(area=context.area.id, channel=channel, alarm=alarm)) for alarm in entry.alarms
        )
        said = context.sentence("less than {value}", value=first)
        if channel in accepts:
            said = accepts[channel]
        elif channel == OXYGEN and others:
            said = context.sentence("more than {low}, less than {high}", low=first, high=others[0])
        elif channel == OXYGEN:
            said = context.sentence("more than {value}", value=first)
        yield words(context.channel(channel)), said


@composes("alarms-prove")
def alarms_prove(context: CardContext, spec: BlockSpec) -> CardBlock:
    """What has to be heard, seen and felt, and how soon."""
    checks = [context.program.checks[spec.check.value]] if spec.check else context.program.checks.values()
    keys = [CHECK_ALARMS_WITHIN(check=check.id) for check in checks if spec.check or check.kind == "bump-test"]
    said = [
        Paragraph(context.sentence("Light, sound and shake: all within {time}.", time=context.decisive(key)))
        for key in keys
        if key in context.ledger
    ]
    said = said or [Paragraph(context.words("Light, sound and shake: all of them."))]
    said.append(Paragraph(context.words("One missing? The unit fails.")))
    return make(context, spec, context.text("Alarms"), said)


@composes("relay")
def relay(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Who hears the alarm, in the author's words."""
    if spec.body is None:
        raise ValueError("a block about who hears an alarm has a body")
    return make(context, spec, context.text("Who hears it"), context.blocks_of(spec.body))


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
