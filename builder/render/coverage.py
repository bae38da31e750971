"""Which characters can be printed: those that the type faces have, and how a text is looked through for others."""

import unicodedata
from collections.abc import Iterator
from functools import cache

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.load.content import Documents
from builder.load.nodes import Entries, Items, Scalar
from builder.load.texts import texts_in
from builder.program.languages import is_right_to_left
from builder.render import arabic, fonts

PLAIN = 0x17F
"""Up to here, the Latin of Western and Central Europe, is looked at first and without opening a face."""
DRAWN_BY_NONE = frozenset("\n\t\u00ad\u200c\u200d")
"""Breaks, tabs, soft hyphens and joiners, which steer what is drawn."""


@cache
def _covered(*, in_arabic: bool) -> frozenset[int]:
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - heavy, so loaded at first need

    paths = [fonts.face_path(fonts.face_for(400))]
    if in_arabic and arabic.folders():
        paths.append(arabic.face_path(400))
    made: set[int] = set()
    for path in paths:
        with TTFont(path, lazy=True) as font:
            made |= set(font.getBestCmap())
    return frozenset(made)


def uncovered(text: str, *, in_arabic: bool = True) -> str:
    """The characters of a text that no face has, each once and in order.

    :param in_arabic: whether the face of Arabic letters is one of them.

    >>> uncovered("19.5 %vol ≥ 漢")
    '漢'
    """
    if text.isascii():
        return ""
    whole = unicodedata.normalize("NFC", text)
    odd = dict.fromkeys(sign for sign in whole if ord(sign) > PLAIN and sign not in DRAWN_BY_NONE)
    return "".join(sign for sign in odd if ord(sign) not in _covered(in_arabic=in_arabic)) if odd else ""


def unprintable(documents: Documents) -> Iterator[Problem]:
    """A fault for every text with a character that no type face has; that of Arabic sets what is in Arabic alone."""
    in_arabic = _speaks_arabic(documents)
    for where, text in texts_in(documents):
        lacking = uncovered(text, in_arabic=in_arabic)
        if lacking:
            codes = ", ".join(f"U+{ord(sign):04X}" for sign in lacking)
            yield Problem(
                where, f"no type face of the handbook has {lacking!r} ({codes})", "other characters", kind=Kind.HIDDEN
            )


def _speaks_arabic(documents: Documents) -> bool:
    """Whether the site has a language that is read from right to left."""
    site = documents.structured.get("site.yaml")
    spoken = site.get("languages") if isinstance(site, Entries) else None
    items = spoken.items if isinstance(spoken, Items) else ()
    return any(isinstance(item, Scalar) and is_right_to_left(item.text) for item in items)
