"""Which words may not be cut at the end of a line: ids, dates and codes would be read as two."""

from builder.figures.figure import NO_BREAK_SPACE
from builder.pages.blocks import Code, Inlines, Link, Strong, Text

LONGEST_WHOLE = 24
"""Characters of the only word of a cell up to which it is kept on one line."""
LEAST_WORDS, LONGEST_PAIR = 3, 16
"""Words from which on the last two are kept together, and letters that those may have: more would not fit a column."""
LONGEST_ID = 12
"""Characters of a hyphened word in running text up to which it is."""


def cell_unbroken(content: Inlines) -> bool:
    """Whether a cell holds one short word and nothing else."""
    return 0 < len(_single_word(content)) <= LONGEST_WHOLE


def link_unbroken(content: Inlines) -> bool:
    """Whether the words of a link are one short id, as they stand in runs of ids."""
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
