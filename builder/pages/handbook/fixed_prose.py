"""What pages explain in the same words on every site: Markdown in ``templates/prose``, a file a page module.

A text stands under a heading of level 2 that is its name and is asked for as ``FILE.NAME``. ``{name}`` in it is a place
for what the page knows: a figure, a link, a number of things. Words can so be read, mended and translated without code.
"""

import re
from collections.abc import Mapping
from functools import cache

from builder.base.errors import ContentError
from builder.base.shipped import shipped_folder
from builder.base.where import Where
from builder.load.markdown import ProseNode, readable_prose
from builder.pages.blocks import Code, Inline, Inlines, Link, Paragraph, Strong, Text

PLACE = re.compile(r"\{([a-z]+(?:_[a-z]+)*)\}")
NAME = re.compile(r"^## ([a-z][a-z0-9-]*)$", re.MULTILINE)
Value = str | Inline | Inlines


def fixed(name: str, **values: Value) -> Inlines:
    """A text of one paragraph, as in ``fixed("checks.lead", day=...)``.

    :raises KeyError: for a name that no file has, or a place without its value.
    :raises ValueError: for a value without its place, or a text of several paragraphs.
    """
    (paragraph,) = fixed_paragraphs(name, **values)
    return paragraph.content


def fixed_words(name: str) -> str:
    """A text of plain words alone, for where nothing can stand but words."""
    return "".join(part.text for part in fixed(name) if isinstance(part, Text))


def fixed_paragraphs(name: str, **values: Value) -> tuple[Paragraph, ...]:
    """A text with all its paragraphs."""
    file, _, text = name.partition(".")
    nodes = texts_of(file)[text]
    left = values.keys() - {place for node in nodes for place in _places(node)}
    if left:
        raise ValueError(f"{name} has no place for {', '.join(sorted(left))}")
    return tuple(Paragraph(_inlines(node.children, values)) for node in nodes)


@cache
def texts_of(file: str) -> Mapping[str, tuple[ProseNode, ...]]:
    """Every text of a file by its name."""
    path = shipped_folder() / "prose" / f"{file}.md"
    _, *parts = NAME.split(path.read_text(encoding="utf-8"))
    texts = dict(zip(parts[::2], parts[1::2], strict=True))
    return {name: _read(text.strip(), Where(path.name, 1)) for name, text in texts.items()}


def _read(text: str, where: Where) -> tuple[ProseNode, ...]:
    nodes, problems = readable_prose(text, where)
    if problems:
        raise ContentError(problems)
    return nodes


def _places(node: ProseNode) -> list[str]:
    return [*PLACE.findall(node.text), *(place for child in node.children for place in _places(child))]


def _inlines(nodes: tuple[ProseNode, ...], values: Mapping[str, Value]) -> Inlines:
    made: list[Inline] = []
    for node in nodes:
        if node.kind == "text":
            made += _filled(node.text, values)
        elif node.kind == "code":
            made.append(Code(node.text))
        elif node.kind == "link":
            made.append(Link(node.text, _inlines(node.children, values)))
        elif node.kind == "break":
            made.append(Text(" "))
        else:
            made.append(Strong(_inlines(node.children, values)))
    return _joined(made)


def _filled(text: str, values: Mapping[str, Value]) -> list[Inline]:
    made: list[Inline] = []
    for number, part in enumerate(PLACE.split(text)):
        value: Value = values[part] if number % 2 else part
        if isinstance(value, str):
            made += [Text(value)] if value else []
        else:
            made += value if isinstance(value, tuple) else (value,)
    return made


def _joined(nodes: list[Inline]) -> Inlines:
    """Texts that follow one another as one."""
    made: list[Inline] = []
    for node in nodes:
        if isinstance(node, Text) and made and isinstance(made[-1], Text) and not (node.apart or made[-1].apart):
            made[-1] = Text(made[-1].text + node.text)
        else:
            made.append(node)
    return tuple(made)
