"""What the builder itself says on cards and sheets, in the language of each: gettext catalogues read by babel.

A text stands in the code in English and is its own key. Catalogues lie in ``templates/locale``; the numbers and dates
between the words are made in ``builder.pages.numbers``.
"""

import hashlib
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import field
from functools import cache, partial
from pathlib import Path

from builder.base.errors import HandbookError
from builder.base.record import dataclass
from builder.base.shipped import shipped_folder
from builder.program.languages import ENGLISH, LANGUAGES, is_right_to_left

CODE_SIGNS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Signs of a code: none that is easily taken for another when read out."""
CODE_LENGTH = 5


def short_code(short: str, told: bytes) -> str:
    """The site's letters and five signs made from everything that is printed.

    Five signs of thirty make a chance match of two given things less likely than one in twenty million.

    >>> short_code("EX", b"what is printed")
    'EX-JBYQD'
    """
    number = int.from_bytes(hashlib.sha256(told).digest(), "big")
    signs = ""
    for _ in range(CODE_LENGTH):
        number, digit = divmod(number, len(CODE_SIGNS))
        signs += CODE_SIGNS[digit]
    return f"{short}-{signs}"


PAPERS, PAGES = "handbook", "pages"
"""Catalogues: what stands on cards, labels and log sheets, and what on pages alone."""
PLACE = re.compile(r"\{([a-z_]+)\}")
IN_CONTEXT = "\x04"
"""Between context and text, as gettext has it."""
CATEGORIES = ("zero", "one", "two", "few", "many", "other")
"""Of plurals, in the order of CLDR, which is that of forms in a catalogue."""
WHOLE = range(1000)
"""Numbers that show which categories a language has for whole numbers."""


class WordingError(HandbookError):
    """The installation has no catalogue for a language, or a broken one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """The translations of one language."""

    texts: Mapping[str, str]
    plurals: Mapping[str, tuple[str, ...]]
    """By the singular in English."""
    form: Callable[[int], int]
    """Which plural goes with a whole number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """The builder's texts in one language."""

    language: str
    own: Mapping[str, str] = field(default_factory=dict)
    """By the builder's English, what the site says in its place."""
    reworded: Mapping[str, str] = field(default_factory=dict)
    """Texts that the site words otherwise in English: the builder's translations of those no longer count."""

    @property
    def right_to_left(self) -> bool:
        """Whether the language is read from right to left."""
        return is_right_to_left(self.language)

    @property
    def comma(self) -> str:
        """What parts the members of a list."""
        return LANGUAGES[self.language].comma

    def has(self, text: str) -> bool:
        """Whether a text can be said in the language."""
        return self.language == ENGLISH or text in catalogue_of(self.language).texts

    def text(self, text: str, **values: str) -> str:
        """A text with its places filled; in English where the catalogue has none.

        >>> Wording(language="en").text("Rev {number}", number="3")
        'Rev 3'
        """
        return filled_text(self._said(text), values)

    def parts(self, text: str) -> list[str]:
        """A text cut at its places: words and names of places in turn.

        >>> Wording(language="en").parts("Wait {wait}.")
        ['Wait ', 'wait', '.']
        """
        return PLACE.split(self._said(text))

    def count(self, one: str, many: str, number: int) -> str:
        """The word that goes with a number.

        >>> Wording(language="en").count("day", "days", 3)
        'days'
        """
        english = one if number == 1 else many
        catalogue = None if self.language == ENGLISH else catalogue_of(self.language)
        forms = catalogue.plurals.get(one, ()) if catalogue else (english,)
        self._note(one, found=bool(forms))
        return forms[catalogue.form(number)] if catalogue and forms else english

    def _said(self, text: str) -> str:
        own = self.own.get(text)
        found = own or (plain(text) if self.language == ENGLISH else catalogue_of(self.language).texts.get(text, ""))
        self._note(text, found=bool(found) and (own is not None or text not in self.reworded))
        return found or plain(text)

    def _note(self, text: str, *, found: bool) -> None:
        """Told of each text that is looked up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotingWording(Wording):
    """The same for one paper while it is composed: notes which texts it prints, and which have no translation."""

    asked: dict[str, None] = field(default_factory=dict)
    missing: dict[str, None] = field(default_factory=dict)

    def _note(self, text: str, *, found: bool) -> None:
        self.asked[text] = None
        if not found:
            self.missing[text] = None


def in_context(context: str, text: str) -> str:
    """A text that means one of several things in English, which other languages tell apart."""
    return f"{context}{IN_CONTEXT}{text}"


def plain(text: str) -> str:
    """A text without its context.

    >>> plain(in_context("a rising reading", "low"))
    'low'
    """
    return text.rpartition(IN_CONTEXT)[2]


def filled_text(text: str, values: Mapping[str, str]) -> str:
    """A text with the places that have a value filled."""
    return PLACE.sub(lambda place: values.get(place[1], place[0]), text)


@cache
def catalogue_of(language: str, name: str = PAPERS) -> Catalogue:
    """A catalogue of a language other than English; what is marked fuzzy counts as not translated.

    :raises WordingError: when there is none.
    """
    from babel.messages.pofile import read_po  # noqa: PLC0415 - loaded for other languages than English alone

    path = catalogue_path(language, name)
    with path.open("rb") as file:
        found = read_po(file, locale=language, abort_invalid=True)
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for message in found:
        forms = message.string if isinstance(message.string, (tuple, list)) else ()
        if isinstance(message.id, tuple) and not message.fuzzy and forms and all(forms):
            plurals[message.id[0]] = tuple(forms)
        elif isinstance(message.id, str) and isinstance(message.string, str) and not message.fuzzy and message.id:
            texts[in_context(message.context, message.id) if message.context else message.id] = message.string
    return Catalogue(texts=texts, plurals=plurals, form=partial(plural_form, language))


def texts_code(language: str) -> str:
    """A short code of all texts of both catalogues: another word in one of them gives another code."""
    both = [catalogue_of(language, name) for name in (PAPERS, PAGES)]
    told = json.dumps(
        [[sorted(found.texts.items()), sorted(found.plurals.items())] for found in both], ensure_ascii=True
    ).encode()
    return short_code(language.upper(), told)


def plural_form(language: str, number: int) -> int:
    """Which of a language's plurals goes with a whole number, by the rules of CLDR.

    >>> [plural_form("pl", number) for number in (1, 2, 5, 22)]
    [0, 1, 2, 1]
    """
    rule, forms = _plurals(language)
    name = rule(number)
    return forms.index(name) if name in forms else len(forms) - 1


@cache
def _plurals(language: str) -> tuple[Callable[[int], str], list[str]]:
    """What tells the category of a number, and the categories of whole numbers."""
    from babel import Locale  # noqa: PLC0415 - loaded for texts with a plural in other languages than English alone

    rule = Locale.parse(language).plural_form
    used = {rule(number) for number in WHOLE}
    return rule, [name for name in CATEGORIES if name in used]


def catalogue_path(language: str, name: str = PAPERS) -> Path:
    """The file of one of a language's catalogues.

    :raises WordingError: when the installation has none.
    """
    base = language.partition("-")[0].lower()
    path = shipped_folder() / "locale" / base / "LC_MESSAGES" / f"{name}.po"
    if path.is_file():
        return path
    raise WordingError(f"no texts in language {language!r}; allowed: {', '.join(LANGUAGES)}")
