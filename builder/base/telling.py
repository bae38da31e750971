"""How work says what it does now, to whoever listens."""

from collections.abc import Callable

Tell = Callable[[str], None]
"""Is told, in a few words, what starts now."""


def silent(_: str) -> None:
    """Tell nobody."""
