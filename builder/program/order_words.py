"""What a short order tells its reader to do, and what a contact is for, by plain words of each language.

The words are a table chosen by hand, no grammar: an order that none of them is in is not understood, and who
asks says so instead of taking it for a good one.
"""

import csv
import re
import unicodedata
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import cache
from pathlib import Path

SENTENCE = re.compile(r"[.!?;:\N{ARABIC SEMICOLON}\N{EM DASH}\N{EN DASH}]+")
CLAUSE = re.compile(r"[.!?;:,\N{ARABIC COMMA}\N{ARABIC SEMICOLON}\N{EM DASH}\N{EN DASH}]+")
NO_WORD = re.compile(r"[\W_]+")
ENDS = "."
"""Behind a word of the table: it counts only where it is its whole clause, as *stay* is and not in *stay out*."""


class Order(Enum):
    """What an order tells its reader to do."""

    LEAVE = "leave"
    STAY = "stay"
    """Stay or go on."""
    PERHAPS = "perhaps"
    """Leave, but only under a condition or after something else."""
    UNKNOWN = "unknown"


def order_of(text: str, language: str) -> Order:
    """What a text in a language orders; who is told to stay and to leave, is told to stay.

    >>> order_of("Carry on.", "en"), order_of("Never carry on. Out now.", "en"), order_of("Inform the office.", "en")
    (<Order.STAY: 'stay'>, <Order.LEAVE: 'leave'>, <Order.UNKNOWN: 'unknown'>)
    >>> order_of("Acknowledge it. Leave if it comes again.", "en")
    <Order.PERHAPS: 'perhaps'>
    """
    sentences = [tuple(_clauses(sentence)) for sentence in SENTENCE.split(text)]
    every = [(clause, clauses) for clauses in sentences for clause in clauses]
    if any(_says(clause, language, "stay") or _forbids_leaving(clause, language) for clause, _ in every):
        return Order.STAY
    leaving = [(clause, clauses) for clause, clauses in every if _says(clause, language, "leave")]
    if leaving and all(_conditional(clause, clauses, language) for clause, clauses in leaving):
        return Order.PERHAPS
    return Order.LEAVE if leaving else Order.UNKNOWN


def orders_in(text: str, language: str) -> bool:
    """Whether a clause of a text begins with an order to go in.

    >>> orders_in("Mask on, go in.", "en"), orders_in("Never go in. Rescuers go in.", "en")
    (True, False)
    """
    return any(0 in _places(clause, language, "enter") for clause in _clauses(text))


def _conditional(clause: tuple[str, ...], sentence: tuple[tuple[str, ...], ...], language: str) -> bool:
    """Whether a clause holds an *if* or an *only*, or one of its sentence begins with an *if*."""
    own = any(True for meaning in ("if", "only") for _ in _places(clause, language, meaning))
    return own or any(0 in _places(other, language, "if") for other in sentence)


def is_emergency(text: str, language: str) -> bool:
    """Whether what a contact is for is told with a word for emergencies.

    >>> is_emergency("emergency and first aid", "en"), is_emergency("front desk", "en")
    (True, False)
    """
    return any(_says(clause, language, "emergency") for clause in _clauses(text))


def _clauses(text: str) -> Iterator[tuple[str, ...]]:
    """Words of each clause, without case and marks upon letters."""
    for clause in CLAUSE.split(text):
        words = tuple(_plain(clause).split())
        if words:
            yield words


def _plain(text: str) -> str:
    bare = "".join(letter for letter in unicodedata.normalize("NFKD", text) if not unicodedata.combining(letter))
    return NO_WORD.sub(" ", bare.casefold()).strip()


def _says(clause: tuple[str, ...], language: str, meaning: str) -> bool:
    """Whether a clause holds one of the words for something, and no *not* stands before it."""
    return any(at == 0 or clause[at - 1] not in _not(language) for at in _places(clause, language, meaning))


def _forbids_leaving(clause: tuple[str, ...], language: str) -> bool:
    """Whether a clause forbids to leave, and the *not* is none that leaves together with its word, as in *not back*."""
    places = list(_places(clause, language, "leave"))
    return bool(places) and all(at > 0 and clause[at - 1] in _not(language) for at in places)


def _places(clause: tuple[str, ...], language: str, meaning: str) -> Iterator[int]:
    """Where in a clause one of the words for something begins."""
    for phrase, alone in _table().get((language, meaning), ()):
        for at in range(len(clause) - len(phrase) + 1):
            if clause[at : at + len(phrase)] == phrase and (not alone or phrase == clause):
                yield at


def _not(language: str) -> frozenset[str]:
    return frozenset(phrase[-1] for phrase, _ in _table().get((language, "not"), ()))


@cache
def _table() -> Mapping[tuple[str, str], tuple[tuple[tuple[str, ...], bool], ...]]:
    """Words in order, and whether they must be the whole clause, by language and meaning."""
    text = Path(__file__).with_name("order_words.csv").read_text(encoding="utf-8")
    return {
        (row["language"], row["meaning"]): tuple(
            (tuple(_plain(words).split()), words.endswith(ENDS)) for words in row["words"].split("|")
        )
        for row in csv.DictReader(text.splitlines())
    }
