"""Which words may not be cut at the end of a line: ids, dates and codes would be read as two."""

from __future__ import annotations

from builder.pages.blocks import Code, Inlines, Link, Strong, Text

LONGEST_WHOLE = 24
"""Characters of the only word of a cell up to which it is kept on one line."""
LONGEST_ID = 12
"""Characters of a hyphened word in running text up to which it is."""


def cell_unbroken(content: Inlines) -> bool:
    """Whether a cell holds one short word and nothing else."""
    return 0 < len(_single_word(content)) <= LONGEST_WHOLE


def link_unbroken(content: Inlines) -> bool:
    """Whether the words of a link are one short id, as they stand in runs of ids."""
    word = _single_word(content)
    return "-" in word and len(word) <= LONGEST_ID


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
