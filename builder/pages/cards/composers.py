"""Which function composes which block of a card: marked where it stands, and found in the modules of ``blocks``."""

from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from builder.base.record import dataclass
from builder.pages.cards import blocks
from builder.pages.cards.context import CardContext
from builder.pages.compositions import CardBlock
from builder.program.card_blocks import CARD_BLOCKS
from builder.program.cards import BlockSpec


@dataclass(frozen=True, slots=True)
class Composer:
    """A function that composes a block, and the name it is declared under in ``builder.program.card_blocks``."""

    name: str
    function: Callable[[CardContext, BlockSpec], CardBlock]

    def __call__(self, context: CardContext, spec: BlockSpec) -> CardBlock:
        """The block, in the language of its card."""
        return self.function(context, spec)


def composes(name: str) -> Callable[[Callable[[CardContext, BlockSpec], CardBlock]], Composer]:
    """Mark the function that composes a block."""

    def marked(function: Callable[[CardContext, BlockSpec], CardBlock]) -> Composer:
        return Composer(name, function)

    return marked


@cache
def composers() -> Mapping[str, Composer]:
    """The composer of every block by its name.

    :raises ValueError: for a block that is declared and not composed, composed and not declared, or composed twice.
    """
    modules = [import_module(f"{blocks.__name__}.{found.name}") for found in iter_modules(blocks.__path__)]
    found = [each for module in modules for each in vars(module).values() if isinstance(each, Composer)]
    names = [each.name for each in found]
    if sorted(names) != sorted(CARD_BLOCKS):
        wrong = sorted({*names} ^ {*CARD_BLOCKS} or {name for name in names if names.count(name) > 1})
        raise ValueError(f"blocks of cards not declared and composed once each: {', '.join(wrong)}")
    return {each.name: each for each in found}
