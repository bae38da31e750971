"""Keeps what is read from left to right in order inside text that is read from right to left.

Left to the usual rules, the groups of a number to call change places there, and a unit stands before its number.
"""

import re
from html import escape, unescape

from builder.program.languages import is_right_to_left

ISOLATE, END = "\N{LEFT-TO-RIGHT ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"
"""Unicode Bidirectional Algorithm (UAX #9), explicit isolates; neither is seen."""
RUN = re.compile(r"(?:[(+≥≤<>±−]\s?)*[0-9A-Za-z%](?:[^\u0590-\u08ff\n]*[0-9A-Za-z%°₀-₉²³)])?")
"""From the first letter or digit that is read from left to right to the last before a letter that is not."""
SIMPLE = re.compile(r"[0-9]+|[A-Za-z]+")
"""Keeps its order anyway."""
PICTURE = re.compile(r"(<svg\b.*?</svg>)", re.DOTALL)
NODE = re.compile(r"(<[^>]*>)([^<]+)")
ORDERED = ('dir="ltr"', 'class="ltr"')
"""Marks of elements that are read from left to right as they are."""


def isolated_text(text: str) -> str:
    """The text with each such run in an isolate.

    >>> isolated_text("اتصل +44 20 7946 0018").replace(ISOLATE, "[").replace(END, "]")
    'اتصل [+44 20 7946 0018]'
    """
    return RUN.sub(lambda run: run[0] if SIMPLE.fullmatch(run[0]) else f"{ISOLATE}{run[0]}{END}", text)


def isolated_html(html: str) -> str:
    """The same for all text of a piece of HTML, but not inside pictures, whose text is set letter by letter."""
    parts = PICTURE.split(html)
    return "".join(part if number % 2 else NODE.sub(_isolated_node, part) for number, part in enumerate(parts))


def turned_document(html: str, language: str) -> str:
    """A whole document, its body so set where its language is read from right to left."""
    if not is_right_to_left(language):
        return html
    head, body, rest = html.partition("<body>")
    return head + body + isolated_html(rest)


def _isolated_node(node: re.Match[str]) -> str:
    tag, text = node.groups()
    if any(mark in tag for mark in ORDERED):
        return node[0]
    return tag + escape(isolated_text(unescape(text)), quote=False)
