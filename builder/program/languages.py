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
    decimal: str = ","
    """What parts whole and decimals, beside the digits 0 to 9: CLDR, as are the next two."""
    months: tuple[str, ...]
    """Short names, as they stand in a date."""
    date: str = "{day} {month} {year}"
    """A date with its month in letters."""


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


ENGLISH = "en"
BASIC = frozenset("abcdefghijklmnopqrstuvwxyz")
# Letters beside those of the basic alphabet: CLDR, main exemplar characters, from memory.
ARABIC = frozenset("\N{ARABIC LETTER HAMZA}آأؤإئابةتثجحخدذرزسشصضطظعغـفقكلمنهوىي")
LANGUAGES: Mapping[str, Language] = {
    one.tag: one
    for one in (
        Language(
            tag=ENGLISH,
            name="English",
            own="English",
            letters=BASIC,
            months=_words("Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec"),
            date="{month} {day}, {year}",
            decimal=".",
        ),
        Language(
            tag="es",
            name="Spanish",
            own="español",
            letters=BASIC | {*"áéíñóúüªº"},
            quotes="«»“”",
            months=_words("ene feb mar abr may jun jul ago sept oct nov dic"),
        ),
        Language(
            tag="de",
            name="German",
            own="Deutsch",
            letters=BASIC | {*"äöüß"},
            capital_nouns=True,
            quotes="„“‚‘",
            months=_words("Jan. Feb. März Apr. Mai Juni Juli Aug. Sept. Okt. Nov. Dez."),
            date="{day}. {month} {year}",
        ),
        Language(
            tag="pl",
            name="Polish",
            own="polski",
            roman=True,
            letters=BASIC | {*"ąćęłńóśźż"},
            quotes="„”«»",
            months=_words("sty lut mar kwi maj cze lip sie wrz paź lis gru"),
        ),
        Language(
            tag="pt",
            name="Portuguese",
            own="português",
            letters=BASIC | {*"áâãàçéêíóôõúªº"},
            months=_words("jan. fev. mar. abr. mai. jun. jul. ago. set. out. nov. dez."),
            date="{day} de {month} de {year}",
        ),
        # CLDR joins Arabic lists with a word alone, which does not part a name from what follows it.
        Language(
            tag="ar",
            name="Arabic",
            own="العربية",
            letters=ARABIC,
            right_to_left=True,
            quotes="«»‹›",  # as printed; CLDR has ” before and “ after, which fonts draw either way
            comma="\N{ARABIC COMMA} ",
            months=_words("يناير فبراير مارس أبريل مايو يونيو يوليو أغسطس سبتمبر أكتوبر نوفمبر ديسمبر"),
            decimal=".",
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
