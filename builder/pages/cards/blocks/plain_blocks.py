"""Blocks about using the detector: before use, hose, lone worker, contacts, free text."""

from builder.pages.blocks import Inlines, ItemList, Paragraph, Qr
from builder.pages.cards.blocks.alarms import hazardous_from
from builder.pages.cards.blocks.entering import accepted_here
from builder.pages.cards.composers import composes
from builder.pages.cards.context import CardContext, CardRow, make, words
from builder.pages.compositions import CardBlock
from builder.pages.wording import in_context
from builder.program.cards import BlockSpec
from builder.program.keys import families as keyed
from builder.program.sensors import OXYGEN

STATUS = "cards/status.html#"
"""Below the site's address: the page that says of a card's code whether the card is current."""


@composes("before-use")
def before_use(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Steps before use, in order."""
    steps = tuple((Paragraph(context.inlines_of(step)),) for step in spec.steps)
    return make(context, spec, context.text("Before use"), (ItemList(items=steps, ordered=True),))


@composes("test-order")
def test_order(context: CardContext, spec: BlockSpec) -> CardBlock:
    """In which order air is tested, when to go in or stay out, how long to wait at each level, and how many levels."""
    accepts = accepted_here(context, spec)
    rows: list[CardRow] = []
    for channel in context.channels(spec):
        entry = context.program.setpoint(context.area.id, channel)
        if entry is not None:
            name = context.channel(channel)
            said = accepts.get(channel) or _stay_out(context, channel, tuple(entry.alarms))
            rows.append((words(f"{len(rows) + 1}. {name}"), said))
    heads = ("Test in this order", "Go in only at" if accepts else "Stay out")
    table = context.table(heads, rows, empty="no alarms set")
    other = [Paragraph(context.words("Anything else: the entry supervisor decides."))] if accepts else []
    waits = () if context.card.sign else _waits(context)  # whoever tests has a card with them
    return make(context, spec, context.text("Test before entry"), (table, *other, *waits))


def _waits(context: CardContext) -> list[Paragraph]:
    """How long the tester waits at each level, and how many levels there are."""
    waits = [
        Paragraph(
            context.sentence(
                "Wait at each level, {model}: {wait}.", model=context.named(model), wait=context.decisive(key)
            )
        )
        for model in context.models
        if (key := keyed.HOSE_WAIT(area=context.area.id, model=model.id)) in context.ledger
    ]
    if keyed.LEVELS_COUNT(area=context.area.id) in context.ledger:
        count, total = (
            context.decisive(family(area=context.area.id)) for family in (keyed.LEVELS_COUNT, keyed.LEVELS_TOTAL_TIME)
        )
        said = context.sentence("Levels: {count}. All of them take at least {total}.", count=count, total=total)
        waits.append(Paragraph(said))
    return waits


def _stay_out(context: CardContext, channel: str, alarms: tuple[str, ...]) -> Inlines:
    """The reading at which nobody goes in: oxygen on either side, anything else at its lowest alarm.

    At the setpoint itself too, whether the unit sounds there or only beyond it.
    """
    asked = [name for name in ("low", "high") if name in alarms] if channel == OXYGEN else list(alarms[:1])
    said: list[Inlines] = []
    for name in asked:
        value = context.decisive(keyed.SETPOINT(area=context.area.id, channel=channel, alarm=name))
        said.append(hazardous_from(context, channel, name, value))
    return context.sentence("{one}; {other}", one=said[0], other=said[1]) if len(said) > 1 else said[0] if said else ()


@composes("hose")
def hose(context: CardContext, spec: BlockSpec) -> CardBlock:
    """Wait through the hose, and levels."""
    rows: list[CardRow] = []
    for model in context.models:
        key = keyed.HOSE_WAIT(area=context.area.id, model=model.id)
        if key in context.ledger:
            rows.append((context.words("Wait, {model}", model=context.named(model)), context.decisive(key)))
    rows += context.values(
        (keyed.AREA_HOSE(area=context.area.id), "Hose"),
        (keyed.LEVELS_COUNT(area=context.area.id), "Levels to test"),
        (keyed.LEVELS_TOTAL_TIME(area=context.area.id), "All levels, at least"),
    )
    table = context.table(("Through the hose", "Value"), rows, numeric=(1,), empty="no hose here")
    steady = Paragraph(context.words("Still rising? Wait until it is steady."))
    return make(context, spec, context.text("Sampling"), (table, steady))


@composes("lone-worker")
def lone_worker(context: CardContext, spec: BlockSpec) -> CardBlock:
    """When the lone-worker alarm warns and sounds."""
    if spec.model is None:
        raise ValueError("a lone-worker block names its model")
    model = spec.model.value
    rows = (
        (context.words("No movement"), context.decisive(keyed.MODEL_MOTIONLESS(model=model))),
        (context.words("Warning, then"), context.decisive(keyed.MODEL_WARNING(model=model))),
        (context.words("Full alarm after"), context.decisive(keyed.MODEL_LONE_WORKER_TOTAL(model=model))),
    )
    table = context.table(("Timer", "Value"), rows, numeric=(1,))
    return make(context, spec, context.text(in_context("head of a block", "Lone-worker alarm")), (table,))


@composes("text")
def text(context: CardContext, spec: BlockSpec) -> CardBlock:
    """The author's own prose."""
    if spec.body is None:
        raise ValueError("a text block has a body")
    return make(context, spec, "", context.blocks_of(spec.body))


@composes("qr")
def qr(context: CardContext, spec: BlockSpec) -> CardBlock:
    """A code for a telephone: where the site is published, the card's own line of its status page."""
    at = context.program.site.published_at
    before = f"{at.value.rstrip('/')}/{STATUS}" if at else ""
    says = "Is this card current? Scan, or look up:" if at else "Code of this card. Scan, or read out:"
    return make(context, spec, "", (Qr(before=before, says=context.text(says)),))
