"""Plain words of the trade, in several languages, for what the builder has a word of its own for.

They are common words of logs and lists, chosen by hand; a word that two trades use for different things is left out,
so that a person is asked.
"""

import csv
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path

NO_WORD = re.compile(r"[\W_]+")
IN_BRACKETS = re.compile(r"[(\[][^)\]]*[)\]]")
DAY, HOUR, IGNORED, FOOTER, TO_COME = "day", "hour", "ignored", "footer", "to-come"
"""What words mean that name no field: half of a time, what a handbook has no use for, the end of a table, a day that
a handbook works out itself."""


def tidied(words: str) -> str:
    """Words without case and marks.

    >>> tidied("Passed (2nd try)")
    'passed 2nd try'
    """
    return NO_WORD.sub(" ", words.casefold()).strip()


def bare(head: str) -> str:
    """The tidied words of a head without its remarks in brackets.

    >>> bare("Serial no. (maker's)")
    'serial no'
    """
    return tidied(IN_BRACKETS.sub(" ", head))


def remarks(head: str) -> list[str]:
    """What stands in brackets in a head.

    >>> remarks("Time (UTC)")
    ['UTC']
    """
    return [remark[1:-1].strip() for remark in IN_BRACKETS.findall(head)]


@cache
def _table() -> Mapping[tuple[str, str], frozenset[str]]:
    """Words by field and meaning; the meaning of a head is empty."""
    text = Path(__file__).with_name("trade_words.csv").read_text(encoding="utf-8")
    return {
        (row["field"], row["meaning"]): frozenset(tidied(word) for word in row["words"].split("|"))
        for row in csv.DictReader(text.splitlines())
    }


def is_head_of(field: str, head: str) -> bool:
    """Whether a head is one of the plain words for a field."""
    return bare(head) in _table().get((field, ""), frozenset())


def has_word_of(field: str, head: str) -> bool:
    """Whether any word of a head, within brackets too, is one of the plain words for a field."""
    return not _table()[field, ""].isdisjoint(tidied(head).split())


def begins_like(field: str, text: str) -> str:
    """The beginning of a text, as it is written there, that is one of the plain words for a field; else empty.

    >>> begins_like("footer", "Total: 60")
    'Total'
    """
    words = text.split()
    starts = (" ".join(words[:n]) for n in range(len(words), 0, -1))
    return next((start.rstrip(":.,;") for start in starts if is_head_of(field, start)), "")


def meaning_of(field: str, word: str) -> str:
    """The builder's word for a word in a field; empty where the table has none."""
    plain = tidied(word)
    return next(
        (meaning for (name, meaning), words in _table().items() if name == field and meaning and plain in words), ""
    )
