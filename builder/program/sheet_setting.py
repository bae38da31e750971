"""How cards are set out on sheets of paper, where a site does not leave that to the builder."""

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields

TURNS = ("long-edge", "short-edge")
MOST = {"bleed": (0, 3), "gutter": (0, 40), "lamination": (3, 5)}
"""Least and most of each length, in mm."""
MOST_COPIES = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSetting:
    """What ``sheets.yaml`` says; ``None`` where it says nothing."""

    turn: str = TURNS[0]
    bleed: Given[Quantity] | None = None
    gutter: Given[Quantity] | None = None
    lamination: Given[Quantity] | None = None
    copies: int = 1


def read_sheets(node: Node | None, faults: Faults) -> SheetSetting:
    """The file, or what holds without it."""
    if node is None:
        return SheetSetting()
    fields = Fields(node, faults, "sheets.yaml")
    lengths = {name: _length(fields, name) for name in MOST}
    made = SheetSetting(
        turn=fields.choice("turn", TURNS, TURNS[0]).value,
        bleed=lengths["bleed"],
        gutter=lengths["gutter"],
        lamination=lengths["lamination"],
        copies=_copies(fields),
    )
    fields.close()
    return made


def _length(fields: Fields, name: str) -> Given[Quantity] | None:
    least, most = MOST[name]
    given = fields.maybe_quantity(name, "mm")
    if given is not None and not least <= magnitude(given.value, "mm") <= most:
        fields.faults.range(given.where, f"{given.text!r} for {name!r}", f"{least} to {most} mm")
    return given


def _copies(fields: Fields) -> int:
    if "copies" not in fields:
        fields.take("copies")
        return 1
    given = fields.whole("copies", least=1)
    if given.value > MOST_COPIES:
        fields.faults.range(given.where, f"{given.text} copies", f"1 to {MOST_COPIES}; the printer makes more")
    return given.value
