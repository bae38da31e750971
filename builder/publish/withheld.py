"""What a copy of content that anybody may read does not hold: names of people, unless the site makes them public."""

import re
from collections.abc import Iterator, Mapping

from builder.base.errors import PublishError
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.yaml_lines import readable_yaml

SITE, PEOPLE = "site.yaml", "people.yaml"
PRIVATE = ("name", "assessed-by")
WITHHELD = "withheld"
COMMENT, QUOTE = re.compile(r"(^|\s)#.*"), re.compile("['\"]")
SPELLED = re.compile(r"""'(?:[^']|'')*'|"(?:[^"\\]|\\.)*"|[^,}\]]*?(?=\s*(?:,\s|[}\]]|$))|[^\n]*""")
"""A value on one line as it is spelled: in quotes, in braces, or to the end."""


def withheld(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of a content folder without names of people where the site does not say ``public: {people: true}``.

    Of a folder that extends others the nearest that says anything of people counts; its files stand first.
    Lines stay what they are, so that places told elsewhere hold. What was withheld once stays as it is.

    :raises PublishError: when a name is written in a way that cannot be taken out for sure.
    """
    sites = (data for path, data in files.items() if path.rpartition("/")[2] == SITE)
    if next(filter(None, map(_said_public, sites)), "") == "true":
        return dict(files)
    return {path: _unnamed(path, data) if path.rpartition("/")[2] == PEOPLE else data for path, data in files.items()}


def _unnamed(path: str, data: bytes) -> bytes:
    text = data.decode("utf-8-sig")
    lines = [line if QUOTE.search(line) else COMMENT.sub(r"\1", line) for line in text.split("\n")]
    for scalar in reversed(list(_private(_read(text)))):
        at, line = scalar.where.column - 1, scalar.where.line - 1
        spelled = _spelled(lines[line], at, scalar.text)
        lines[line] = lines[line][:at] + WITHHELD + lines[line][at + len(spelled) :]
    made = "\n".join(lines)
    if _texts(_read(made)) != _texts(_read(text), hide=True):
        raise PublishError(f"{path}: names cannot be left out of the frozen copy; write each on one line, in quotes")
    return made.encode()


def _read(text: str) -> Node | None:
    node, _ = readable_yaml(text, PEOPLE)
    return node


def _said_public(site: bytes) -> str:
    """What a file of a site says of people; empty where it says nothing."""
    node, _ = readable_yaml(site.decode("utf-8-sig", "replace"), SITE)
    public = node.get("public") if isinstance(node, Entries) else None
    people = public.get("people") if isinstance(public, Entries) else None
    return people.text if isinstance(people, Scalar) else ""


def _entries(node: Node | None) -> Iterator[tuple[Scalar, Node]]:
    people = node.get("people") if isinstance(node, Entries) else None
    for person in people.items if isinstance(people, Items) else ():
        yield from person.entries if isinstance(person, Entries) else ()


def _private(node: Node | None) -> Iterator[Scalar]:
    return (value for key, value in _entries(node) if key.text in PRIVATE and isinstance(value, Scalar))


def _spelled(line: str, at: int, text: str) -> str:
    """How a value is spelled that begins there; the value itself where it stands so."""
    if line.startswith(text, at) and line[at] not in "'\"":
        return text
    found = SPELLED.match(line, at)
    return found[0] if found else ""


def _texts(node: Node | None, *, hide: bool = False) -> list[tuple[str, int, str]]:
    """Key, line and value of everything in the list of people, nested values as they are."""
    return [
        (key.text, key.where.line, WITHHELD if hide and key.text in PRIVATE else _shown(value))
        for key, value in _entries(node)
    ]


def _shown(node: Node) -> str:
    if isinstance(node, Scalar):
        return node.text
    return repr([_shown(item) for item in node.items]) if isinstance(node, Items) else repr(node)
