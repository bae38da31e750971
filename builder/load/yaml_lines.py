"""YAML read safely, every node with its line. The only import of the YAML library.

No tag is ever constructed: scalars stay the text the author wrote, so ``no`` is no boolean and ``1.10`` keeps its
zero.
"""

import re
from typing import Any, TypeGuard

import yaml

from builder.base.errors import ContentError, Problem, refusal
from builder.base.fault_kinds import Kind
from builder.base.unseen import in_sight, unseen
from builder.base.where import Where
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.yaml_words import CUT_OFF, GLUED, cut_off, in_words, odd_space

MOST_ALIAS_NODES = 10_000
"""Nodes that aliases of one file may add up to; a document that grows beyond it is refused."""
DEEPEST = 40
"""Levels of nesting a content file may have."""

MOST_MARKS = 500_000
"""Marks a file may have that part one value from the next; each value takes half a kilobyte while it is read."""
MARKS = ",\n:-[{?&*"

UNCLOSED = (
    "while scanning a quoted scalar",
    "while scanning a simple key",
    "while parsing a flow sequence",
    "while parsing a flow mapping",
)
"""What is shown where it begins, since it ends nowhere."""

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def readable_yaml(text: str, file: str, first_line: int = 1) -> tuple[Node | None, tuple[Problem, ...]]:
    """What can be read of a YAML text, and its faults: after a key that stands twice the first one is kept.

    :param first_line: line of the file on which ``text`` starts (front matter starts below its fence).
    """
    try:
        return _readable(text, file, first_line)
    except ContentError as error:
        return None, error.problems


def _readable(text: str, file: str, first_line: int) -> tuple[Node | None, tuple[Problem, ...]]:
    shift = first_line - 1
    marks = sum(text.count(mark) for mark in MARKS)
    if marks > MOST_MARKS:
        found = f"{marks} marks that part values, such as commas, colons and dashes"
        allowed = f"at most {MOST_MARKS} of them; a long inventory or log is better kept as a table"
        raise refusal(Kind.TOO_BIG, Where(file, first_line), found, allowed)
    try:
        root = yaml.compose(text, Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        unclosed = error.context in UNCLOSED
        mark = error.context_mark if unclosed else error.problem_mark or error.context_mark
        line, column = (mark.line, mark.column) if mark else (0, 0)
        said = error.problem or error.context or "cannot be read"
        lines = text.split("\n")[: line + 1]
        odd = next((n for n, shown in enumerate(lines) if odd_space(shown)), None)
        if odd is None and "mapping values" in said and line and GLUED.fullmatch(lines[line - 1]):
            odd = line - 1
        line, at = (line, column + 1) if odd is None else (odd, 0)
        found, allowed = in_words(said, [*lines, "", ""][line], column, lines[line - 1] if line else "")
        raise refusal(Kind.NOT_YAML, Where(file, line + 1 + shift, at), found, allowed) from error
    except yaml.reader.ReaderError as error:
        line = _line_of_unreadable(text, error.position) + shift
        raise refusal(Kind.HIDDEN, Where(file, line), "a control character", "text that can be read") from error
    except yaml.YAMLError as error:
        raise refusal(Kind.NOT_YAML, Where(file, first_line), f"not valid YAML: {error}", "UTF-8 text") from error
    if root is None:
        return None, ()
    return _Converter(file, shift, text.split("\n") if CUT_OFF.search(text) else []).convert(root)


def _line_of_unreadable(text: str, position: int) -> int:
    """The line of a character that YAML refuses; the C reader counts bytes, the other one characters."""
    before = text.encode()[:position] if _Loader is not yaml.SafeLoader else text[:position].encode()
    return before.count(b"\n") + 1


def _cut_number(before: Node, key: str, value: Node) -> TypeGuard[Scalar]:
    """Whether a key without value is the rest of a number that a comma in braces cut in two, as in {value: 2,2 %}."""
    if not (isinstance(before, Scalar) and isinstance(value, Scalar) and value.empty):
        return False
    return bool(re.fullmatch("[+-]?[0-9]{1,9}", before.text) and re.match("[0-9]", key))


def _about_comma(before: str, after: str) -> tuple[str, str]:
    """What is wrong with a number that has a comma, and what is allowed; whether it parts thousands is not guessed."""
    whole, written = f"{before}.{after}", f"'{before},{after}'"
    if re.match("[+-]?[1-9]", before) and re.match(r"[0-9]{3}(?![0-9])", after):
        allowed = f"{before}{after} or {whole}, whichever is meant: commas may part thousands or decimals"
        return f"{written} has a comma", allowed
    return f"{written} has a decimal comma", f"a decimal point, as in {whole}"


class _Converter:
    """Turns composed nodes into ours, counting what aliases repeat; ``lines`` where a text may be cut off by a #."""

    def __init__(self, file: str, shift: int, lines: list[str]) -> None:
        self.file = file
        self.shift = shift
        self.lines = lines
        self.seen: set[int] = set()
        self.repeated = 0
        self.open: set[int] = set()
        self.problems: list[Problem] = []

    def convert(self, root: yaml.Node) -> tuple[Node, tuple[Problem, ...]]:
        node = self._node(root, depth=0, inside_alias=False)
        return node, tuple(self.problems)

    def _where(self, node: yaml.Node) -> Where:
        return Where(self.file, node.start_mark.line + 1 + self.shift, node.start_mark.column + 1)

    def _refuse(self, node: yaml.Node, found: str, allowed: str) -> ContentError:
        return ContentError([*self.problems, Problem(self._where(node), found, allowed, kind=Kind.NOT_YAML)])

    def _node(self, node: yaml.Node, depth: int, *, inside_alias: bool) -> Node:
        if id(node) in self.open:
            raise self._refuse(node, "an alias that contains itself", "aliases of finished nodes")
        if depth > DEEPEST:
            raise self._refuse(node, f"nested deeper than {DEEPEST} levels", "flat content files")
        inside_alias = inside_alias or id(node) in self.seen
        self.seen.add(id(node))
        if inside_alias:
            self.repeated += 1
            if self.repeated > MOST_ALIAS_NODES:
                raise self._refuse(node, "aliases that multiply the file", f"at most {MOST_ALIAS_NODES} repeated nodes")
        if isinstance(node, yaml.ScalarNode):
            self._judge_letters(node)
            empty = node.value == "" and not node.style  # the two readers give "" and None
            return Scalar(node.value, self._where(node), empty)
        self.open.add(id(node))
        made = self._collection(node, depth, inside_alias=inside_alias)
        self.open.discard(id(node))
        return made

    def _judge_letters(self, node: yaml.ScalarNode) -> None:
        hidden = unseen(node.value)
        if hidden:
            self.problems.append(Problem(self._where(node), *in_sight(hidden), kind=Kind.HIDDEN))
        end = node.end_mark
        cut = CUT_OFF.match(self.lines[end.line], end.column) if self.lines and not node.style else None
        if cut:
            self.problems.append(Problem(self._where(node), *cut_off(cut[1]), kind=Kind.NOT_YAML))

    def _collection(self, node: yaml.Node, depth: int, *, inside_alias: bool) -> Node:
        if isinstance(node, yaml.SequenceNode):
            items = tuple(self._node(child, depth + 1, inside_alias=inside_alias) for child in node.value)
            return Items(items, self._where(node))
        entries: dict[str, tuple[Scalar, Node]] = {}
        last, dash_missing = "", False
        for key_node, value_node in node.value:
            if not isinstance(key_node, yaml.ScalarNode):
                raise self._refuse(key_node, "a key that is not plain text", "text keys")
            self._judge_letters(key_node)
            key = Scalar(key_node.value, self._where(key_node))
            if key.text in entries:
                if dash_missing:
                    continue
                dash_missing = depth > 0 and not getattr(node, "flow_style", False) and key.text == next(iter(entries))
                first = entries[key.text][0].where.line
                found = f"key {key.text!r} stands twice (first on line {first})"
                allowed = (
                    f"each key once; in a list a dash before it, as in '- {key.text}:'"
                    if dash_missing
                    else "each key once"
                )
                self.problems.append(Problem(key.where, found, allowed, kind=Kind.TWICE))
                continue
            value = self._node(value_node, depth + 1, inside_alias=inside_alias)
            before = entries[last][1] if last else value
            if _cut_number(before, key.text, value):
                found, allowed = _about_comma(before.text, key.text)
                self.problems.append(Problem(before.where, found, allowed, kind=Kind.NUMBER))
                entries[last] = (entries[last][0], Scalar(f"{before.text}.{key.text}", before.where))
                continue
            last = key.text
            entries[key.text] = (key, value)
        return Entries(tuple(entries.values()), self._where(node))
