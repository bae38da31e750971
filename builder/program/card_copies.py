"""The register of printed copies: which card, who holds it, how many, of which revision."""

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Copies:
    """Copies of one card, or of a form or sheet of labels, in one person's or place's hands."""

    card: Given[str] = asked(Fields.text)
    """Id of a card as written, or path of a document; it may be one that is no longer made."""
    holder: Given[str] = asked(Fields.text)
    copies: Given[int] = asked(Fields.whole, least=1)
    revision: Given[int] = asked(Fields.whole, least=1)
    where: Where = here()
