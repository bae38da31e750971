"""Guard rails that the site passes on purpose: which, why, who says so, and until when that holds."""

from datetime import date

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields, each


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """One finding that somebody answers for."""

    rule: Given[str]
    """Id of the rule that finds it."""
    about: Given[str]
    """What the finding is about, as a reference such as ``area:wet-well``."""
    reason: Given[str]
    by: Given[str]
    """Name of who answers for it."""
    on: Given[date]
    review: Given[date]
    """Last day on which it holds without being looked at again."""
    where: Where


def read_accepted(node: Node | None, faults: Faults) -> tuple[Acceptance, ...]:
    """All of them, in the order of the file."""
    return each(node, faults, "accepted", "accepted finding", _acceptance) if node is not None else ()


def _acceptance(fields: Fields) -> Acceptance:
    made = Acceptance(
        rule=fields.text("rule"),
        about=fields.text("about"),
        reason=fields.text("reason"),
        by=fields.text("by"),
        on=fields.day("on"),
        review=fields.day("review"),
        where=fields.where,
    )
    if made.review.value < made.on.value:
        fields.faults.add(made.review.where, f"review on {made.review.text}, before {made.on.text}", "a later day")
    return made
