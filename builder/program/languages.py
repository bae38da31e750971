"""The languages of cards, labels and log sheets, each registered once; catalogues lie in ``templates/locale/TAG``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Language:
    """One language, by its tag of BCP 47."""

    tag: str
    name: str
    """In English, as pages and findings print it."""
    right_to_left: bool = False
    """Whether it is read from right to left."""
    comma: str = ", "
    """What parts the members of a list."""
    capital_nouns: bool = False
    """Whether the names of gases have a capital letter wherever they stand."""


ENGLISH = "en"
LANGUAGES: Mapping[str, Language] = {
    one.tag: one
    for one in (
        Language(tag=ENGLISH, name="English"),
        Language(tag="es", name="Spanish"),
        Language(tag="de", name="German", capital_nouns=True),
        Language(tag="pl", name="Polish"),
        Language(tag="pt", name="Portuguese"),
        # CLDR joins Arabic lists with a word alone, which does not part a name from what follows it.
        Language(tag="ar", name="Arabic", right_to_left=True, comma="\N{ARABIC COMMA} "),
    )
}
"""By tag; the first is that of the pages and of every text in the code."""


def is_right_to_left(tag: str) -> bool:
    """Whether a language is read from right to left; one that is not registered is not.

    >>> is_right_to_left("ar"), is_right_to_left("de")
    (True, False)
    """
    return tag in LANGUAGES and LANGUAGES[tag].right_to_left
