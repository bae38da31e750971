"""The languages of cards, labels and log sheets, each registered once; catalogues lie in ``templates/locale/TAG``."""

from collections.abc import Mapping

from builder.base.record import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Language:
    """One language, by its tag of BCP 47."""

    tag: str
    name: str
    """In English, as pages and findings print it."""
    own: str
    """In the language itself, for who looks for it in a list of languages."""
    letters: frozenset[str]
    """Small letters that its words are written with."""
    right_to_left: bool = False
    """Whether it is read from right to left."""
    comma: str = ", "
    """What parts the members of a list."""
    quotes: str = "“”‘’"
    """Before and after what is quoted, and the same within a quotation: CLDR, delimiters, from memory."""
    roman: bool = False
    """Whether first and second may be written I and II."""
    capital_nouns: bool = False
    """Whether the names of gases have a capital letter wherever they stand."""


ENGLISH = "en"
BASIC = frozenset("abcdefghijklmnopqrstuvwxyz")
# Letters beside those of the basic alphabet: CLDR, main exemplar characters, from memory.
ARABIC = frozenset("\N{ARABIC LETTER HAMZA}آأؤإئابةتثجحخدذرزسشصضطظعغـفقكلمنهوىي")
LANGUAGES: Mapping[str, Language] = {
    one.tag: one
    for one in (
        Language(tag=ENGLISH, name="English", own="English", letters=BASIC),
        Language(tag="es", name="Spanish", own="español", letters=BASIC | {*"áéíñóúüªº"}, quotes="«»“”"),
        Language(tag="de", name="German", own="Deutsch", letters=BASIC | {*"äöüß"}, capital_nouns=True, quotes="„“‚‘"),
        Language(tag="pl", name="Polish", own="polski", roman=True, letters=BASIC | {*"ąćęłńóśźż"}, quotes="„”«»"),
        Language(tag="pt", name="Portuguese", own="português", letters=BASIC | {*"áâãàçéêíóôõúªº"}),
        # CLDR joins Arabic lists with a word alone, which does not part a name from what follows it.
        Language(
            tag="ar",
            name="Arabic",
            own="العربية",
            letters=ARABIC,
            right_to_left=True,
            quotes="«»‹›",  # as printed; CLDR has ” before and “ after, which fonts draw either way
            comma="\N{ARABIC COMMA} ",
        ),
    )
}
"""By tag; the first is that of the pages and of every text in the code."""


def is_right_to_left(tag: str) -> bool:
    """Whether a language is read from right to left; one that is not registered is not.

    >>> is_right_to_left("ar"), is_right_to_left("de")
    (True, False)
    """
    return tag in LANGUAGES and LANGUAGES[tag].right_to_left
