"""What a starter filled in and somebody at the site has to stand for."""

from datetime import date

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields, each


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """Values that came with a starter, and who confirmed them once they did."""

    what: Given[str]
    """As in "alarm setpoints in setpoints.yaml"."""
    against: Given[str]
    """What they are to be compared with."""
    by: Given[str] | None
    on: Given[date] | None
    where: Where

    @property
    def confirmed(self) -> bool:
        """Whether somebody stands for them."""
        return self.by is not None and self.on is not None


def read_confirmations(node: Node | None, faults: Faults) -> tuple[Confirmation, ...]:
    """All of them, in the order of the file."""
    return each(node, faults, "confirm", "value to confirm", _confirmation) if node is not None else ()


def _confirmation(fields: Fields) -> Confirmation:
    made = Confirmation(
        what=fields.text("what"),
        against=fields.text("against"),
        by=fields.maybe_text("by"),
        on=fields.maybe_day("on"),
        where=fields.where,
    )
    if (made.by is None) != (made.on is None):
        fields.faults.add(fields.where, "by without on, or on without by", "the name and the day, or neither")
    return made
