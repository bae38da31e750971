"""Every text of a content folder with its place, for what holds for all of them whatever they mean."""

from collections.abc import Iterable, Iterator

from builder.base.where import Where
from builder.load.content import Documents
from builder.load.markdown import ProseNode
from builder.load.nodes import Items, Node, Scalar

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
