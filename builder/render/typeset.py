"""Plain text as it is set on paper: true quotes and dashes, and formulae with subscripts."""

import re
from functools import lru_cache
from typing import Final

from builder.pages.handbook.labels import SUBSCRIPTS
from builder.program.languages import ENGLISH, LANGUAGES

SYMBOL: Final = "(?:Cl|Br|[HCNOSF])"
FORMULA: Final = re.compile(rf"(?<![\w-])(?:(?:{SYMBOL}[0-9]{{0,2}}){{2,}}|(?:H|N|O|Cl|F)2|O3)(?![\w-])")
"""Symbols of elements with their numbers; one symbol alone only where that is a gas, since C1 can be a shelf."""
OPENING: Final = re.compile(r'(^|[\s(\[–—])"')
APOSTROPHE: Final = re.compile(r"(?<=\w)'")
SINGLE: Final = re.compile(r"(^|[\s(\[–—“„«])'(?=\w)")
DASH: Final = re.compile(r"(?<=\S) - (?=\S)")


@lru_cache(maxsize=1 << 14)
def typeset(text: str, language: str = ENGLISH) -> str:
    r"""The text for paper, with the quotes of its language.

    >>> typeset('the site\'s "out" - H2S, C6H14, C-101'), typeset('"Raus!"', "de")
    ('the site’s “out” – H₂S, C₆H₁₄, C-101', '„Raus!“')
    """
    if text.isalpha():
        return text
    text = DASH.sub(" – ", text)
    before, after, within, end = tuple(LANGUAGES[language].quotes)
    text = OPENING.sub(rf"\1{before}", text).replace('"', after)
    text = SINGLE.sub(rf"\1{within}", APOSTROPHE.sub("’", text)).replace("'", end)
    return FORMULA.sub(lambda found: found[0].translate(SUBSCRIPTS), text)
