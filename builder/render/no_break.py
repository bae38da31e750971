"""Which words may not be cut at the end of a line: ids, dates and codes would be read as two."""

import re
from itertools import groupby

from builder.figures.figure import NO_BREAK_SPACE
from builder.pages.blocks import BETWEEN, Code, Inlines, Link, Strong, Text
from builder.render.arabic import has_arabic

LONGEST_WHOLE = 24
"""Characters of the only word of a cell up to which it is kept on one line."""
LEAST_WORDS, LONGEST_PAIR = 3, 16
"""Words from which on the last two are kept together, and letters that those may have: more would not fit a column."""
LONGEST_ID = 12
"""Characters of a hyphened word in running text up to which it is."""

SENTENCE_END = re.compile(r"(?<=[.!?؟])\s+")
LONGEST_SENTENCE = 24
"""Letters of a sentence that is kept on one line, so that "Do not go back" is never torn at its "not"."""


def cell_unbroken(content: Inlines) -> bool:
    """Whether a cell holds one short word and nothing else."""
    return 0 < len(_single_word(content)) <= LONGEST_WHOLE


def id_unbroken(content: Inlines) -> bool:
    """Whether the words are one short id, or a number to call."""
    word = _single_word(content)
    return "-" in word and len(word) <= LONGEST_ID


def last_words_bound(content: Inlines) -> Inlines:
    r"""A running text with its last two words on one line, so that none stands alone on the last; short texts as is.

    >>> last_words_bound((Text("Leave as the attendant says."),))[0].text[-15:]
    'attendant\xa0says.'
    """
    last = content[-1] if content else None
    if not isinstance(last, Text):
        return content
    words = last.text.rsplit(maxsplit=2)
    if len(words) == 1 and last.text == f" {words[0]}":  # a number stands before it
        return (*content[:-1], Text(f"{NO_BREAK_SPACE}{words[0]}"))
    if len(words) < LEAST_WORDS or len(words[1]) + len(words[2]) > LONGEST_PAIR or last.text != last.text.rstrip():
        return content
    start = last.text[: len(last.text) - len(words[2])].rstrip()
    return (*content[:-1], Text(f"{start}{NO_BREAK_SPACE}{words[2]}"))


def kept_together(content: Inlines, *, turned: bool = False) -> tuple[tuple[Inlines, bool, str], ...]:
    """Parts of a text, whether each stays on one line where it can, and what follows it; none where all flows on.

    Those are the entries of a list in a line, each but the last with its mark, which may end a line as no dot between
    two may, or the sentences of a plain text, of which long ones flow. ``turned`` is a text from right to left: boxes
    follow its direction, so English that nothing replaces there is one run, or its sentences would change places.

    >>> [(part[0].text, kept) for part, kept, _ in kept_together((Text("The limit of the shift is reached. Go."),))]
    [('The limit of the shift is reached.', False), ('Go.', True)]
    """
    if BETWEEN in content:
        runs = groupby(content, lambda node: node == BETWEEN)
        mark = "\N{ARABIC SEMICOLON}" if turned else ";"
        return tuple((tuple(run), True, mark) for dot, run in runs if not dot)
    if len(content) != 1 or not isinstance(content[0], Text) or (turned and not has_arabic(content[0].text)):
        return ()
    found = tuple(SENTENCE_END.split(content[0].text.strip()))
    return tuple(((Text(one),), len(one) <= LONGEST_SENTENCE, "") for one in found) if len(found) > 1 else ()


def _single_word(content: Inlines) -> str:
    """The text of inlines that are one word and nothing else, else empty."""
    if len(content) != 1:
        return ""
    part = content[0]
    if isinstance(part, (Link, Strong)):
        return _single_word(part.content)
    if isinstance(part, (Text, Code)) and not any(character.isspace() for character in part.text):
        return part.text
    return ""
