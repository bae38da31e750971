"""Which characters can be printed: those that the type faces have, and how a text is looked through for others."""

import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.where import Where
from builder.load.content import Documents
from builder.load.markdown import ProseNode
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.program.languages import is_right_to_left
from builder.render import arabic, fonts

PLAIN = 0x17F
"""Up to here, the Latin of Western and Central Europe, is looked at first and without opening a face."""
DRAWN_BY_NONE = frozenset("\n\t\u00ad\u200c\u200d")
"""Breaks, tabs, soft hyphens and joiners, which steer what is drawn."""


@cache
def _covered(*, in_arabic: bool) -> frozenset[int]:
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - heavy, so loaded at first need

    paths = [fonts.face_path(fonts.face_for(400))]
    if in_arabic and arabic.folders():
        paths.append(fonts.face_path(arabic.face_for(400)))
    made: set[int] = set()
    for path in paths:
        with TTFont(path, lazy=True) as font:
            made |= set(font.getBestCmap())
    return frozenset(made)


def uncovered(text: str, *, in_arabic: bool = True) -> str:
    """The characters of a text that no face has, each once and in order.

    :param in_arabic: whether the face of Arabic letters is one of them.

    >>> uncovered("19.5 %vol ≥ 漢")
    '漢'
    """
    if text.isascii():
        return ""
    whole = unicodedata.normalize("NFC", text)
    odd = dict.fromkeys(sign for sign in whole if ord(sign) > PLAIN and sign not in DRAWN_BY_NONE)
    return "".join(sign for sign in odd if ord(sign) not in _covered(in_arabic=in_arabic)) if odd else ""


def unprintable(documents: Documents) -> Iterator[Problem]:
    """A fault for every text with a character that no type face has; that of Arabic sets what is in Arabic alone."""
    in_arabic = _speaks_arabic(documents)
    for where, text in texts_in(documents):
        lacking = uncovered(text, in_arabic=in_arabic)
        if lacking:
            codes = ", ".join(f"U+{ord(sign):04X}" for sign in lacking)
            yield Problem(
                where, f"no type face of the handbook has {lacking!r} ({codes})", "other characters", kind=Kind.HIDDEN
            )


def _speaks_arabic(documents: Documents) -> bool:
    """Whether the site has a language that is read from right to left."""
    site = documents.structured.get("site.yaml")
    spoken = site.get("languages") if isinstance(site, Entries) else None
    items = spoken.items if isinstance(spoken, Items) else ()
    return any(isinstance(item, Scalar) and is_right_to_left(item.text) for item in items)


NOT_PRINTED = ("maps.yaml",)
"""What tells how files are read, and is printed nowhere."""


def texts_in(documents: Documents) -> Iterator[tuple[Where, str]]:
    """Place and text of every value and of all prose; tables, which are read row by row, are left out."""
    for name, node in sorted(documents.structured.items()):
        if name not in NOT_PRINTED:
            yield from _of_node(node)
    for _, document in sorted(documents.prose.items()):
        if document.front is not None:
            yield from _of_node(document.front)
        yield from _of_prose(document.body)
    for _, drawing in sorted(documents.drawings.items()):
        yield from drawing.texts()


def _of_node(node: Node) -> Iterator[tuple[Where, str]]:
    if isinstance(node, Scalar):
        yield node.where, node.text
    elif isinstance(node, Items):
        for item in node.items:
            yield from _of_node(item)
    else:
        for _, value in node.entries:
            yield from _of_node(value)


def _of_prose(nodes: Iterable[ProseNode]) -> Iterator[tuple[Where, str]]:
    for node in nodes:
        if node.text and node.kind != "link":
            yield node.where, node.text
        yield from _of_prose(node.children)
