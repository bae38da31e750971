"""What the builder itself says on cards and sheets, in the language of each: gettext catalogues read by babel.

A text stands in the code in English and is its own key. Catalogues lie in ``templates/locale``; the numbers and dates
between the words are made in ``builder.pages.numbers``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from builder.base.errors import HandbookError
from builder.program.said import NAMES, RIGHT_TO_LEFT

PACKAGE = Path(__file__).resolve().parents[1]
CANDIDATES = (PACKAGE / "_templates" / "locale", PACKAGE.parent / "templates" / "locale")
"""Inside a wheel; beside the package in a checkout."""
ENGLISH = "en"
PLACE = re.compile(r"\{([a-z_]+)\}")
COMMAS = {"ar": "\N{ARABIC COMMA} "}


class WordingError(HandbookError):
    """The installation has no catalogue for a language, or a broken one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """The translations of one language."""

    texts: Mapping[str, str]
    plurals: Mapping[str, tuple[str, ...]]
    """By the singular in English."""
    form: Callable[[int], int]
    """Which plural goes with a number."""


@dataclass(slots=True, kw_only=True)
class Wording:
    """The builder's texts in one language; notes what it was asked for and what has no translation."""

    language: str
    asked: dict[str, None] = field(default_factory=dict)
    missing: dict[str, None] = field(default_factory=dict)

    @property
    def right_to_left(self) -> bool:
        """Whether the language is read from right to left."""
        return self.language in RIGHT_TO_LEFT

    @property
    def comma(self) -> str:
        """What parts the members of a list."""
        return COMMAS.get(self.language, ", ")

    def has(self, text: str) -> bool:
        """Whether a text can be said in the language."""
        return self.language == ENGLISH or text in catalogue_of(self.language).texts

    def say(self, text: str, **values: str) -> str:
        """A text with its places filled; in English where the catalogue has none.

        >>> Wording(language="en").say("Rev {number}", number="3")
        'Rev 3'
        """
        return filled(self._said(text), values)

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
        self.asked[one] = None
        if self.language == ENGLISH:
            return one if number == 1 else many
        catalogue = catalogue_of(self.language)
        forms = catalogue.plurals.get(one, ())
        if not forms:
            self.missing[one] = None
            return one if number == 1 else many
        return forms[catalogue.form(number)]

    def _said(self, text: str) -> str:
        self.asked[text] = None
        if self.language == ENGLISH:
            return text
        found = catalogue_of(self.language).texts.get(text, "")
        if not found:
            self.missing[text] = None
        return found or text


def filled(text: str, values: Mapping[str, str]) -> str:
    """A text with the places that have a value filled."""
    return PLACE.sub(lambda place: values.get(place[1], place[0]), text)


@cache
def catalogue_of(language: str) -> Catalogue:
    """The catalogue of a language other than English; what is marked fuzzy counts as not translated.

    :raises WordingError: when there is none.
    """
    from gettext import c2py  # noqa: PLC0415 - loaded for other languages than English alone

    from babel.messages.pofile import read_po  # noqa: PLC0415

    path = catalogue_path(language)
    with path.open("rb") as file:
        found = read_po(file, locale=language, abort_invalid=True)
    texts: dict[str, str] = {}
    plurals: dict[str, tuple[str, ...]] = {}
    for message in found:
        forms = message.string if isinstance(message.string, (tuple, list)) else ()
        if isinstance(message.id, tuple) and not message.fuzzy and forms and all(forms):
            plurals[message.id[0]] = tuple(forms)
        elif isinstance(message.id, str) and isinstance(message.string, str) and not message.fuzzy and message.id:
            texts[message.id] = message.string
    return Catalogue(texts=texts, plurals=plurals, form=c2py(found.plural_expr))


def catalogue_path(language: str) -> Path:
    """The file of a language's catalogue.

    :raises WordingError: when the installation has none.
    """
    base = language.partition("-")[0].lower()
    for folder in CANDIDATES:
        path = folder / base / "LC_MESSAGES" / "handbook.po"
        if path.is_file():
            return path
    raise WordingError(f"no texts in language {language!r}; allowed: {', '.join(NAMES)}")
