"""Which characters can be printed: those that the type faces have, and how a text is looked through for others."""

import unicodedata
from collections.abc import Iterator
from functools import cache

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.load.content import Documents
from builder.load.texts import texts_in
from builder.render import arabic, fonts

PLAIN = 0x17F
"""Up to here, the Latin of Western and Central Europe, is looked at first and without opening a face."""
DRAWN_BY_NONE = frozenset("\n\t\u00ad\u200c\u200d")
"""Breaks, tabs, soft hyphens and joiners, which steer what is drawn."""


@cache
def _covered() -> frozenset[int]:
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - heavy, so loaded at first need

    paths = [fonts.face_path(fonts.face_for(400))]
    if arabic.folders():
        paths.append(arabic.face_path(400))
    made: set[int] = set()
    for path in paths:
        with TTFont(path, lazy=True) as font:
            made |= set(font.getBestCmap())
    return frozenset(made)


def uncovered(text: str) -> str:
    """The characters of a text that no face has, each once and in order.

    >>> uncovered("19.5 %vol ≥ 漢")
    '漢'
    """
    if text.isascii():
        return ""
    whole = unicodedata.normalize("NFC", text)
    odd = dict.fromkeys(sign for sign in whole if ord(sign) > PLAIN and sign not in DRAWN_BY_NONE)
    return "".join(sign for sign in odd if ord(sign) not in _covered()) if odd else ""


def unprintable(documents: Documents) -> Iterator[Problem]:
    """A fault for every text with a character that no type face has."""
    for where, text in texts_in(documents):
        lacking = uncovered(text)
        if lacking:
            codes = ", ".join(f"U+{ord(sign):04X}" for sign in lacking)
            yield Problem(
                where, f"no type face of the handbook has {lacking!r} ({codes})", "other characters", kind=Kind.HIDDEN
            )
