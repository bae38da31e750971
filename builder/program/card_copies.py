"""The register of printed copies: which card, who holds it, how many, of which revision."""

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Copies:
    """Copies of one card, or of a form or sheet of labels, in one person's or place's hands."""

    card: Given[str]
    """Id of a card as written, or path of a document; it may be one that is no longer made."""
    holder: Given[str]
    copies: Given[int]
    revision: Given[int]
    where: Where


def read_copies(fields: Fields) -> Copies:
    """An entry of ``copies.yaml``."""
    return Copies(
        card=fields.text("card"),
        holder=fields.text("holder"),
        copies=fields.whole("copies", least=1),
        revision=fields.whole("revision", least=1),
        where=fields.where,
    )
