"""The index of words of pages, as a script that is loaded when somebody first types into the search field."""

from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Final

from builder.load.shipped_yaml import shipped_yaml
from builder.pages.handbook.entries import KINDS
from builder.pages.handbook.page_words import KINDS_BY_USE, WordedPage
from builder.render.scripts import FOLDER, handed_over

WORDS: Final = f"{FOLDER}/search-words.js"
DIGITS: Final = "0123456789abcdefghijklmnopqrstuvwxyz"


def words_script(pages: Sequence[WordedPage], hrefs: Mapping[str, str]) -> bytes:
    """Pages by number, and for each heading and word the runs of pages that have it."""
    heads: dict[tuple[str, str], list[int]] = {}
    words: dict[str, list[int]] = {}
    for number, page in enumerate(pages):
        for head in dict.fromkeys(page.heads):
            heads.setdefault(head, []).append(number)
        for word in page.words:
            words.setdefault(word, []).append(number)
    names = dict(KINDS)
    return handed_over(
        "words",
        {
            "kinds": [names[kind] for kind in KINDS_BY_USE],
            "pages": [[KINDS_BY_USE.index(page.kind), page.title, hrefs[page.reference]] for page in pages],
            "heads": [[text, anchor, runs(numbers)] for (text, anchor), numbers in heads.items()],
            "words": ";".join(f"{word}={runs(words[word])}" for word in sorted(words)),
            "asked": asked_words(),
        },
    )


def runs(numbers: Iterable[int]) -> str:
    """Rising numbers, briefly: how many were left out before each run, and how many more follow it, in base 36.

    >>> runs([0, 1, 2, 10, 50])
    '0-2 7 13'
    """
    made: list[list[int]] = []
    after = 0
    for number in numbers:
        if made and number == after:
            made[-1][1] += 1
        else:
            made.append([number - after, 0])
        after = number + 1
    return " ".join(f"{_base36(gap)}-{_base36(more)}" if more else _base36(gap) for gap, more in made)


def _base36(number: int) -> str:
    rest, last = divmod(number, len(DIGITS))
    return (_base36(rest) if rest else "") + DIGITS[last]


@cache
def asked_words() -> Mapping[str, str]:
    """A word as readers ask with it, without its ending, to the words that the handbook has for it.

    :raises ContentError: for a file that is no YAML.
    :raises TypeError: for one of another shape.
    """
    return shipped_yaml("prose/asked.yaml", dict[str, str])
