"""The blocks that cards are composed of, read from ``templates/cards/blocks.yaml``, which says what they are."""

from collections.abc import Mapping

from builder.base.record import dataclass
from builder.load.shipped_yaml import shipped_yaml


@dataclass(frozen=True, slots=True, kw_only=True)
class CardBlockKind:
    """What a block is, and what its author writes."""

    name: str
    takes: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    docs: str
    example: str


CARD_BLOCKS: Mapping[str, CardBlockKind] = {
    one.name: one for one in shipped_yaml("cards/blocks.yaml", tuple[CardBlockKind, ...])
}
"""By name, in the order of the guide."""
