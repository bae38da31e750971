"""YAML that comes with the program, read into records: what their types say is all that it may be."""

from dataclasses import is_dataclass
from typing import Any, TypeVar, cast, get_args, get_origin, get_type_hints

from builder.base.errors import ContentError
from builder.base.shipped import shipped_folder
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.yaml_lines import readable_yaml

Wanted = TypeVar("Wanted")


def shipped_yaml(name: str, kind: type[Wanted]) -> Wanted:
    """What a file below the shipped folder holds, as text, tuple, dict by text, or dataclass of such.

    :raises ContentError: for a file that is no YAML.
    :raises TypeError: for one of another shape, or a key that its record does not have or lacks.
    """
    path = shipped_folder() / name
    root, problems = readable_yaml(path.read_text(encoding="utf-8"), path.name)
    if problems or root is None:
        raise ContentError(problems)
    return cast("Wanted", _made(root, kind))


def _made(node: Node, kind: Any) -> Any:
    inner = get_args(kind)
    if isinstance(node, Scalar) and kind is str:
        return node.text
    if isinstance(node, Items) and get_origin(kind) is tuple:
        kinds = inner[:1] * len(node.items) if inner[-1] is Ellipsis else inner
        return tuple(_made(item, one) for item, one in zip(node.items, kinds, strict=True))
    if isinstance(node, Entries) and get_origin(kind) is dict:
        return {name.text: _made(part, inner[1]) for name, part in node.entries}
    if isinstance(node, Entries) and is_dataclass(kind):
        return _record(node, kind)
    raise TypeError(f"{node.where}: {getattr(kind, '__name__', kind)} is wanted")


def _record(node: Entries, kind: Any) -> Any:
    kinds = get_type_hints(kind)
    parts = {name.text.replace("-", "_"): part for name, part in node.entries}
    unknown = sorted(parts.keys() - kinds.keys())
    if unknown:
        raise TypeError(f"{node.where}: no key of {kind.__name__}: {', '.join(unknown)}")
    return kind(**{name: _made(part, kinds[name]) for name, part in parts.items()})
