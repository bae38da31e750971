"""Plain text as it is set on paper: true quotes and dashes, and formulae with subscripts."""

import re
from functools import lru_cache
from typing import Final

SUBSCRIPTS: Final = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
SYMBOL: Final = "(?:Cl|Br|[HCNOSF])"
FORMULA: Final = re.compile(rf"(?<![\w-])(?:(?:{SYMBOL}[0-9]{{0,2}}){{2,}}|(?:H|N|O|Cl|F)2|O3)(?![\w-])")
"""Symbols of elements with their numbers; one symbol alone only where that is a gas, since C1 can be a shelf."""
OPENING: Final = re.compile(r'(^|[\s(\[–—])"')
APOSTROPHE: Final = re.compile(r"(?<=\w)'")
SINGLE: Final = re.compile(r"(^|[\s(\[–—“])'(?=\w)")
DASH: Final = re.compile(r"(?<=\S) - (?=\S)")


@lru_cache(maxsize=1 << 14)
def typeset(text: str) -> str:
    r"""The text for paper.

    >>> typeset('the site\'s "out" - H2S, C6H14, C-101')
    'the site’s “out” – H₂S, C₆H₁₄, C-101'
    """
    if text.isalpha():
        return text
    text = DASH.sub(" – ", text)
    text = OPENING.sub(r"\1“", text).replace('"', "”")
    text = SINGLE.sub(r"\1‘", APOSTROPHE.sub("’", text)).replace("'", "’")
    return FORMULA.sub(lambda found: found[0].translate(SUBSCRIPTS), text)
