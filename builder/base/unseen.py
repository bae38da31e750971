"""Characters that are not seen as themselves: they steer a terminal, turn text around, or take no room at all."""

import re

STEERING = re.compile("[\\x00-\\x08\\x0b-\\x1f\\x7f-\\x9f]")
"""Control characters of ISO 6429 but tab and new line: an escape sequence begins with one of them."""
TURNING = re.compile(
    "[\\u061c\\u200b\\u200e\\u200f\\u2028-\\u202e\\u2060-\\u206f\\ufeff\\ufff9-\\ufffb]"
    "|(?<![\\u0600-\\u0dff])[\\u200c\\u200d]"
)
"""Marks, embeddings, overrides and isolates of Unicode's bidirectional algorithm (UAX 9), and what has no width.

The two joiners, U+200C and U+200D, are letters' business after letters of Arabic and Indic scripts, and there alone.
"""


def visible(text: str) -> str:
    r"""The text with such characters written as their code points, for a terminal.

    >>> visible("bad\x1b[2Jname")
    'bad<U+001B>[2Jname'
    """
    return STEERING.sub(_named, TURNING.sub(_named, text))


def visible_json(text: str) -> str:
    r"""The same for JSON: written as JSON escapes them, so that it means what it did.

    >>> visible_json('"bad\x9bname"')
    '"bad\\u009bname"'
    """
    return STEERING.sub(_escaped, TURNING.sub(_escaped, text))


def unseen(text: str) -> str:
    r"""Code points of such characters in a text, each once; nothing where it has none.

    >>> unseen("ab\u202ecd")
    'U+202E'
    """
    if text.isascii() and text.isprintable():
        return ""
    found = [*STEERING.findall(text), *TURNING.findall(text)]
    return ", ".join(dict.fromkeys(_code(character) for character in found))


def in_sight(hidden: str) -> tuple[str, str]:
    """What was found, and what is allowed, where a text has such characters."""
    return f"a character that is not seen as itself: {hidden}", "text without it; type the words anew, not pasted"


def _named(found: re.Match[str]) -> str:
    return f"<{_code(found.group())}>"


def _escaped(found: re.Match[str]) -> str:
    return f"\\u{ord(found.group()):04x}"


def _code(character: str) -> str:
    return f"U+{ord(character):04X}"
