"""The register of printed copies: which card, who holds it, how many, of which revision."""

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.reading import Fields, each


@dataclass(frozen=True, slots=True, kw_only=True)
class Copies:
    """Copies of one card, or of a form or sheet of labels, in one person's or place's hands."""

    card: Given[str]
    """Id of a card as written, or path of a document; it may be one that is no longer made."""
    holder: Given[str]
    copies: Given[int]
    revision: Given[int]
    where: Where


def read_copies(node: Node | None, faults: Faults) -> tuple[Copies, ...]:
    """The register in the author's order; nothing where the site keeps none here."""
    return () if node is None else each(node, faults, "copies", "copies", _copies)


def _copies(fields: Fields) -> Copies:
    return Copies(
        card=fields.text("card"),
        holder=fields.text("holder"),
        copies=fields.whole("copies", least=1),
        revision=fields.whole("revision", least=1),
        where=fields.where,
    )
