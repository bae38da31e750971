"""Widths of words that the engine asks for again and again: measured once for each style.

A table whose columns are as wide as their words need has each cell measured at its narrowest and at its widest, and
most of its words stand in many cells. The engine measures each anew.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any, Final
from weakref import ref

ASKED_BY: Final = "weasyprint.layout.preferred"
"""Module of the engine that asks for widths alone."""
DECIDING: Final = (
    "direction", "font_family", "font_feature_settings", "font_kerning", "font_language_override", "font_size",
    "font_stretch", "font_style", "font_variant_alternates", "font_variant_caps", "font_variant_east_asian",
    "font_variant_ligatures", "font_variant_numeric", "font_variant_position", "font_variation_settings", "font_weight",
    "hyphenate_character", "hyphenate_limit_chars", "hyphenate_limit_zone", "hyphens", "lang", "letter_spacing",
    "overflow_wrap", "tab_size", "text_decoration_line", "white_space", "word_break", "word_spacing",
)  # fmt: skip
"""All of a style that the engine reads to fit words into a line."""
MOST: Final = 10_000
"""Widths that are remembered before all are forgotten."""

Split = tuple[Any, Any, int | None, float, Any, Any]
"""What the engine tells of a line; of it, only where the next one begins and how wide it is are asked for here."""


def remember() -> None:
    """Have the engine, which is loaded, ask for each width once."""
    asking = import_module(ASKED_BY)
    if not isinstance(asking.split_first_line, _Remembered):
        asking.split_first_line = _Remembered(asking.split_first_line)  # type: ignore[attr-defined]


class _Remembered:
    """Stands for the engine's own function."""

    def __init__(self, measure: Callable[..., Split]) -> None:
        self._measure = measure
        self._known: dict[object, Split] = {}
        self._fonts: Callable[[], object] = lambda: None
        """Asks for those that the known widths are of, if they are still in use."""

    def __call__(
        self, text: str, style: Any, context: Any, max_width: float | None, justification: float, **how: bool
    ) -> Split:
        """Where a line of some text ends, and its width."""
        if style.font_config is not self._fonts() or len(self._known) >= MOST:
            self._fonts, self._known = ref(style.font_config), {}
        key = (text, max_width, justification, *how.values(), *map(style.__getitem__, DECIDING))
        found = self._known.get(key)
        if found is None:
            _, _, after, width, _, _ = self._measure(text, style, context, max_width, justification, **how)
            found = self._known[key] = None, None, after, width, None, None
        return found
