"""How well one colour is read on another, as the Web Content Accessibility Guidelines 2.2 measure it."""

import re
from collections.abc import Iterable

LEAST = 4.5
"""Contrast of text of usual size, success criterion 1.4.3 (level AA)."""
COLOUR = re.compile("#[0-9a-fA-F]{6}")


def luminance(colour: Iterable[float]) -> float:
    """Relative luminance of red, green and blue, each from 0 to 1; 0 for black and 1 for white.

    Source: WCAG 2.2, definition of relative luminance.

    >>> luminance((0, 0, 0)), luminance((1, 1, 1))
    (0.0, 1.0)
    """
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in colour)  # noqa: PLR2004 - of that definition
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Iterable[float], other: Iterable[float]) -> float:
    """Contrast ratio of two colours, as red, green and blue, 1 to 21.

    Source: WCAG 2.2, definition of contrast ratio.

    >>> contrast((1, 1, 1), (0, 0, 0))
    21.0
    """
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def least_contrast(colour: str, grounds: Iterable[str]) -> float:
    """Contrast of ``#rrggbb`` on the ground where it is worst."""
    return min(contrast(_parts(colour), _parts(ground)) for ground in grounds)


def _parts(colour: str) -> list[float]:
    return [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]


def nearest_readable(colour: str, grounds: tuple[str, ...]) -> str:
    """The colour nearest to this one, mixed with black or white, that is read well enough on every ground.

    >>> nearest_readable("#1d5560", ("#ffffff",))
    '#1d5560'
    """
    steps = (_mixed(colour, towards, share) for share in range(256) for towards in ("#000000", "#ffffff"))
    return next(mixed for mixed in steps if least_contrast(mixed, grounds) >= LEAST)


def _mixed(colour: str, other: str, share: int) -> str:
    parts = ((int(colour[at : at + 2], 16), int(other[at : at + 2], 16)) for at in (1, 3, 5))
    return "#" + "".join(f"{(one * (255 - share) + two * share) // 255:02x}" for one, two in parts)
