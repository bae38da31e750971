"""A run of inlines as one text to translate, and back again.

Figures and names are marks (``{1}``), what is set in bold or leads elsewhere stands between two (``<2>words</2>``), so
that a language can put them in its own order. Numbers are never part of the text: they come from the figures.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from builder.pages.blocks import Inline, Inlines, Link, Strong, Text

MARK = re.compile(r"\{(\d+)\}|<(/?)(\d+)>")
LETTER = re.compile(r"[^\W\d_]")


def message_of(nodes: Iterable[Inline]) -> tuple[str, tuple[Inline, ...]]:
    """The text of a run, and what its marks stand for, in order.

    >>> from builder.pages.blocks import Fig
    >>> message_of((Text("Wait "), Fig("hose.wait"), Text(".")))[0]
    'Wait {1}.'
    """
    parts: list[Inline] = []
    return _written(nodes, parts), tuple(parts)


def _written(nodes: Iterable[Inline], parts: list[Inline]) -> str:
    made: list[str] = []
    for node in nodes:
        if isinstance(node, Text) and not node.apart:
            made.append(node.text)
            continue
        parts.append(node)
        number = len(parts)
        inside = _written(node.content, parts) if isinstance(node, (Strong, Link)) else None
        made.append(f"{{{number}}}" if inside is None else f"<{number}>{inside}</{number}>")
    return "".join(made)


def ambiguous(nodes: Iterable[Inline]) -> bool:
    """Whether words of a run could be taken for a mark."""
    return any(
        MARK.search(node.text) is not None
        if isinstance(node, Text)
        else isinstance(node, (Strong, Link)) and ambiguous(node.content)
        for node in nodes
    )


def bare(text: str) -> str:
    """The words outside of everything that is marked.

    >>> bare("<1>Wet well</1>; {2}")
    '; '
    """
    made: list[str] = []
    depth = at = 0
    for mark in MARK.finditer(text):
        made.append(text[at : mark.start()] if not depth else "")
        depth += 0 if mark[1] else -1 if mark[2] else 1
        at = mark.end()
    return "".join((*made, text[at:]))


def has_words(text: str) -> bool:
    """Whether anything outside the marks is to be translated."""
    return LETTER.search(bare(text)) is not None


def run_of(said: str, parts: Sequence[Inline]) -> Inlines:
    """The run that a translation stands for; its marks were found to be those of ``parts``.

    :raises ValueError: for marks that do not enclose one another.
    """
    stack: list[tuple[str, list[Inline]]] = [("", [])]
    at = 0
    for mark in MARK.finditer(said):
        stack[-1][1].extend((Text(said[at : mark.start()]),) if mark.start() > at else ())
        at = mark.end()
        single, closing, name = mark.groups()
        if single:
            stack[-1][1].append(parts[int(single) - 1])
        elif not closing:
            stack.append((name, []))
        else:
            opened, content = stack.pop()
            node = parts[int(name) - 1]
            if opened != name or not isinstance(node, (Strong, Link)):
                raise ValueError(f"marks of {said!r} do not enclose one another")
            stack[-1][1].append(replace(node, content=tuple(content)))
    if len(stack) != 1:
        raise ValueError(f"marks of {said!r} are not closed")
    return (*stack[0][1], *((Text(said[at:]),) if at < len(said) else ()))
