"""What is wrong with YAML that cannot be read, said to somebody who writes it by hand and knows no parser."""

import re

ONE_DOCUMENT = "one YAML document"
HAS_VALUE = re.compile(r"\s*(?:- )?[\w-]+:\s+[^\s#|>&]")
GLUED = re.compile(r"\s*(?:- )?[\w-]+:[^\s/:]\S*\s*(?:#.*)?")
"""A key whose value follows its colon without a blank, so that it is a text."""
CUT_OFF = re.compile(r"\s+(#(?:\d\S*|[A-Z]\b))")
"""What looks like the rest of a text and begins a comment: "Ext #4400", "Tank #B"."""
NO_KEY = "a line that is no key: value"
ALIKE = "key: value, with the same indentation as the keys around it"
TELLING = (
    (
        "mapping values are not allowed",
        "a colon where no key can stand",
        'quotes around a text with a colon in it, as in "a: b"; keys of one level with the same indentation',
    ),
    ("expected ',' or ']'", "a list that is not closed, or lacks a comma", "[a, b, c]"),
    ("expected ',' or '}'", "a mapping that is not closed, or lacks a comma", "{key: value, key: value}"),
    ("unexpected end of stream", "a quote that is not closed", "the same quote before and after the text"),
    (
        "expected '-' indicator",
        "a line indented unlike the list it stands in",
        "each '- ' of a list under the one before, and its keys under its first key",
    ),
    (
        "undefined alias",
        "a * with a name that no & above gives",
        "the name of an & above, or quotes around a text that begins with *",
    ),
    (
        "expected node content",
        "a list or mapping that is begun and not closed",
        "[a, b] or {key: value}, or lines below that begin with '- '",
    ),
    ("expected key", NO_KEY, ALIKE),
    ("find expected ':'", NO_KEY, ALIKE),
    ("another document", "a second YAML document", ONE_DOCUMENT),
)
"""Part of what the library says, what was found, what is allowed."""


def _blanks(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]


def odd_space(line: str) -> bool:
    """Whether a line is indented by something that looks like a space and is none, as word processors make it."""
    return bool(_blanks(line).strip(" \t"))


def cut_off(rest: str) -> tuple[str, str]:
    """What was found and what is allowed where the rest of a text is taken for a comment."""
    return f"{rest!r} after a blank, which begins a comment", 'quotes around the text, as in "Tank #2"'


def in_words(said: str, line: str, column: int, above: str = "") -> tuple[str, str]:
    """What was found and what is allowed.

    :param said: words of the library.
    :param line: text of the line that it points to.
    :param column: the character there that it points to, the first is 0.
    :param above: the line before it.
    """
    if "\t" in _blanks(line):
        return "a tab before the text", "spaces, as many as the keys around it have"
    if odd_space(line):
        return "a space of another kind before the text", "plain spaces, as many as the keys around it have"
    if GLUED.fullmatch(line):
        return "a colon without a blank after it", "key: value"
    if "cannot start any token" in said:
        return f"a text that begins with {line[column : column + 1]!r}", 'quotes around it, as in "text"'
    if "mapping values" in said and HAS_VALUE.match(above) and len(_blanks(above)) < len(_blanks(line)):
        return "a line deeper than the key: value above it, which can have nothing under it", ALIKE
    cut = CUT_OFF.search(line)
    if cut and "expected ','" in said:
        return cut_off(cut[1])
    for part, found, allowed in TELLING:
        if part in said:
            return found, allowed
    return f"not valid YAML: {said}", ONE_DOCUMENT
