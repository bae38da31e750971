"""Blocks about using the detector: before use, hose, lone worker, contacts, free text."""

from __future__ import annotations

from builder.pages.blocks import Block, CardBlock, Inlines, Items, Paragraph, Table, Text
from builder.pages.cards.scene import Scene, make, words
from builder.pages.prose import prose_blocks, prose_inlines
from builder.program.cards import BlockSpec


def before_use(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Steps before use, in order."""
    steps = tuple((Paragraph(prose_inlines(step.nodes, scene.prose)),) for step in spec.steps)
    return make(spec, "Before use", (Items(items=steps, ordered=True),))


def hose(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Wait through the hose, and levels."""
    rows: list[tuple[Inlines, ...]] = []
    for model in scene.models:
        key = f"hose.{scene.area.id}.{model.id}.wait"
        if key in scene.ledger:
            rows.append((words(f"Wait, {model.name}"), scene.fig(key, decisive=True)))
    for key, name in (
        (f"area.{scene.area.id}.hose", "Hose"),
        (f"levels.{scene.area.id}.count", "Levels to test"),
        (f"levels.{scene.area.id}.total-time", "All levels, at least"),
    ):
        if key in scene.ledger:
            rows.append((words(name), scene.fig(key, decisive=True)))
    blocks: list[Block] = [
        Table(columns=("Through the hose", "Value"), rows=tuple(rows), numeric=(1,), empty="no hose here")
    ]
    blocks.append(Paragraph(words("Still rising? Wait until it is steady.")))
    return make(spec, "Sampling", blocks)


def lone_worker(scene: Scene, spec: BlockSpec) -> CardBlock:
    """When the lone-worker alarm warns and sounds."""
    if spec.model is None:
        raise ValueError("a lone-worker block names its model")
    key = f"model.{spec.model.value}.lone-worker"
    rows: tuple[tuple[Inlines, ...], ...] = (
        (words("No movement"), scene.fig(f"{key}.motionless", decisive=True)),
        (words("Warning, then"), scene.fig(f"{key}.warning", decisive=True)),
        (words("Full alarm after"), scene.fig(f"{key}.total", decisive=True)),
    )
    return make(spec, "Lone-worker alarm", (Table(columns=("Timer", "Value"), rows=rows, numeric=(1,)),))


def contacts(scene: Scene, spec: BlockSpec) -> CardBlock:
    """Whom to call."""
    lines = tuple(
        (words(contact.role.value.capitalize()), (Text(f"{contact.name.value}, {contact.call.value}"),))
        for contact in scene.program.site.contacts
    )
    return make(spec, "Call", (Table(columns=("Role", "Call"), rows=lines, kind="facts", empty="no contacts"),))


def text(scene: Scene, spec: BlockSpec) -> CardBlock:
    """The author's own prose."""
    if spec.body is None:
        raise ValueError("a text block has a body")
    return make(spec, "", prose_blocks(spec.body.nodes, scene.prose))
