"""What was released, by whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One release of the handbook."""

    number: Given[int]
    effective: Given[date]
    reason: Given[str]
    prepared: Given[str]
    reviewed: Given[str]
    approved: Given[str]
    where: Where


def read_revision(node: Node, faults: Faults) -> Revision:
    """A revision from its file."""
    fields = Fields(node, faults, "revision")
    revision = Revision(
        number=fields.whole("number", least=1),
        effective=fields.day("effective"),
        reason=fields.text("reason"),
        prepared=fields.text("prepared"),
        reviewed=fields.text("reviewed"),
        approved=fields.text("approved"),
        where=fields.where_of("number"),
    )
    fields.close()
    return revision
