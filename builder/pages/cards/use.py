"""Blocks about using the detector: before use, hose, lone worker, contacts, free text."""

from __future__ import annotations

from builder.base.where import Given
from builder.pages.blocks import CardBlock, Inlines, Items, Paragraph, Qr, Table
from builder.pages.cards.scene import Scene, make, words
from builder.pages.prose import prose_blocks, prose_inlines
from builder.pages.words import channel_word
from builder.program.cards import BlockSpec
from builder.program.sensors import OXYGEN
from builder.program.site import Contact

STATUS = "cards/status.html#"
"""Below the site's address: the page that says of a card's code whether the card is current."""


def before_use(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Steps before use, in order."""
    steps = tuple((Paragraph(prose_inlines(scene.prosed(step), scene.prose)),) for step in spec.steps)
    return make(scene, spec, scene.say("Before use"), (Items(items=steps, ordered=True),))


def test_order(scene: Scene, spec: BlockSpec) -> CardBlock:
    """In which order air is tested, when to stay out, how long to wait at each level, and how many levels."""
    rows: list[tuple[Inlines, ...]] = []
    for channel in scene.channels(spec):
        entry = scene.program.setpoint(scene.area.id, channel)
        if entry is not None:
            name = channel_word(scene.program, channel, scene.say)
            rows.append((words(f"{len(rows) + 1}. {name}"), _stay_out(scene, channel, tuple(entry.alarms))))
    heads = (scene.say("Test in this order"), scene.say("Stay out"))
    table = Table(columns=heads, rows=tuple(rows), empty=scene.say("no alarms set"))
    waits = [
        Paragraph(
            scene.sentence(
                "Wait at each level, {model}: {wait}.", model=scene.named(model), wait=scene.fig(key, decisive=True)
            )
        )
        for model in scene.models
        if (key := f"hose.{scene.area.id}.{model.id}.wait") in scene.ledger
    ]
    levels = f"levels.{scene.area.id}"
    if f"{levels}.count" in scene.ledger:
        count, total = (scene.fig(f"{levels}.{name}", decisive=True) for name in ("count", "total-time"))
        said = scene.sentence("Levels: {count}. All of them take at least {total}.", count=count, total=total)
        waits.append(Paragraph(said))
    return make(scene, spec, scene.say("Test before entry"), (table, *waits))


def _stay_out(scene: Scene, channel: str, alarms: tuple[str, ...]) -> Inlines:
    """The reading at which nobody goes in: oxygen on either side, anything else at its lowest alarm."""
    key = f"setpoint.{scene.area.id}.{channel}"
    said: list[Inlines] = []
    if "low" in alarms:
        word = "below {value}" if channel == OXYGEN else "from {value}"
        said.append(scene.sentence(word, value=scene.fig(f"{key}.low", decisive=True)))
    if channel == OXYGEN and "high" in alarms:
        said.append(scene.sentence("above {value}", value=scene.fig(f"{key}.high", decisive=True)))
    if not said and alarms:
        said.append(scene.sentence("from {value}", value=scene.fig(f"{key}.{alarms[0]}", decisive=True)))
    return scene.sentence("{one} or {other}", one=said[0], other=said[1]) if len(said) > 1 else said[0] if said else ()


def hose(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Wait through the hose, and levels."""
    rows: list[tuple[Inlines, ...]] = []
    for model in scene.models:
        key = f"hose.{scene.area.id}.{model.id}.wait"
        if key in scene.ledger:
            rows.append((scene.words("Wait, {model}", model=scene.named(model)), scene.fig(key, decisive=True)))
    for key, name in (
        (f"area.{scene.area.id}.hose", "Hose"),
        (f"levels.{scene.area.id}.count", "Levels to test"),
        (f"levels.{scene.area.id}.total-time", "All levels, at least"),
    ):
        if key in scene.ledger:
            rows.append((scene.words(name), scene.fig(key, decisive=True)))
    heads = (scene.say("Through the hose"), scene.say("Value"))
    table = Table(columns=heads, rows=tuple(rows), numeric=(1,), empty=scene.say("no hose here"))
    steady = Paragraph(scene.words("Still rising? Wait until it is steady."))
    return make(scene, spec, scene.say("Sampling"), (table, steady))


def lone_worker(scene: Scene, spec: BlockSpec) -> CardBlock:
    """When the lone-worker alarm warns and sounds."""
    if spec.model is None:
        raise ValueError("a lone-worker block names its model")
    key = f"model.{spec.model.value}.lone-worker"
    rows: tuple[tuple[Inlines, ...], ...] = (
        (scene.words("No movement"), scene.fig(f"{key}.motionless", decisive=True)),
        (scene.words("Warning, then"), scene.fig(f"{key}.warning", decisive=True)),
        (scene.words("Full alarm after"), scene.fig(f"{key}.total", decisive=True)),
    )
    table = Table(columns=(scene.say("Timer"), scene.say("Value")), rows=rows, numeric=(1,))
    return make(scene, spec, scene.say("Lone-worker alarm"), (table,))


def contacts(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Whom to call."""
    lines = tuple(
        (
            words(_capital(scene.said(contact.role))),
            words(scene.wording.comma.join(map(scene.said, contact_line(contact)))),
        )
        for contact in scene.program.site.contacts
    )
    table = Table(columns=("", ""), rows=lines, kind="facts", empty=scene.say("no contacts"))
    return make(scene, spec, scene.say("Call"), (table,))


def contact_line(contact: Contact) -> tuple[Given[str], Given[str]]:
    """Whom to call, and how."""
    return contact.name, contact.call


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def text(scene: Scene, spec: BlockSpec) -> CardBlock:
    """The author's own prose."""
    if spec.body is None:
        raise ValueError("a text block has a body")
    return make(scene, spec, "", prose_blocks(scene.prosed(spec.body), scene.prose))


def qr(scene: Scene, spec: BlockSpec) -> CardBlock:
    """A code for a telephone: where the site is published, the card's own line of its status page."""
    at = scene.program.site.published_at
    before = f"{at.value.rstrip('/')}/{STATUS}" if at else ""
    says = "Scan, or look this code up:" if at else "Scan, or read out:"
    title = "Is this card current?" if at else "Code of this card"
    return make(scene, spec, scene.say(title), (Qr(before=before, says=scene.say(says)),))
