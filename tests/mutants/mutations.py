"""Small changes of the program and of its tables that a test must notice: one operator, number, word or digit each."""

from __future__ import annotations

import ast
import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

COMPARED = {
    ast.Lt: ("<", "<="),
    ast.LtE: ("<=", "<"),
    ast.Gt: (">", ">="),
    ast.GtE: (">=", ">"),
    ast.Eq: ("==", "!="),
    ast.NotEq: ("!=", "=="),
    ast.In: ("in", "not in"),
    ast.NotIn: ("not in", "in"),
    ast.Is: ("is", "is not"),
    ast.IsNot: ("is not", "is"),
}
CALCULATED = {
    ast.Add: ("+", "-"),
    ast.Sub: ("-", "+"),
    ast.Mult: ("*", "/"),
    ast.Div: ("/", "*"),
    ast.FloorDiv: ("//", "/"),
    ast.Mod: ("%", "*"),
    ast.Pow: ("**", "*"),
}
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}
MEMBERS = {"UP": "DOWN", "DOWN": "UP", "NEAREST": "UP", "STOP": "WARN", "WARN": "NOTE", "NOTE": "WARN"}
"""Members of ``Direction`` and of ``Severity``."""
UNITS = {"ppm": "%vol", "%vol": "ppm", "mg/m3": "g/m3", "°C": "K", "K": "°C"}
"""Units of columns that people take for each other; any other is taken for a bare number."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change of a file."""

    path: str
    line: int
    start: int
    end: int
    """Bytes of the file that are replaced."""
    before: str
    after: str
    text: str
    """The line before the change, by which an explanation finds it again when lines move."""

    def changed(self, data: bytes) -> bytes:
        """The file with the change."""
        return data[: self.start] + self.after.encode() + data[self.end :]

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.before!r} -> {self.after!r} in: {self.text}"


class Source:
    """A module as bytes, with places of its nodes."""

    def __init__(self, path: str, data: bytes) -> None:
        self.path, self.data = path, data
        self._starts = [0]
        for line in data.split(b"\n"):
            self._starts.append(self._starts[-1] + len(line) + 1)
        self.lines = data.decode().split("\n")

    def at(self, line: int, column: int) -> int:
        return self._starts[line - 1] + column

    def span(self, node: ast.AST) -> tuple[int, int]:
        return self.at(node.lineno, node.col_offset), self.at(node.end_lineno, node.end_col_offset)

    def whole(self, node: ast.AST, after: str) -> Mutant:
        start, end = self.span(node)
        return self._mutant(node.lineno, start, end, after)

    def between(self, left: ast.AST, right: ast.AST, before: str, after: str) -> Mutant | None:
        """An operator, looked for between its two sides."""
        start, end = self.span(left)[1], self.span(right)[0]
        found = re.search(rb"(?<![\w])" + re.escape(before.encode()) + rb"(?![\w=])", self.data[start:end])
        if found is None:
            return None
        line = left.end_lineno + self.data[start : start + found.start()].count(b"\n")
        return self._mutant(line, start + found.start(), start + found.end(), after)

    def _mutant(self, line: int, start: int, end: int, after: str) -> Mutant:
        before = self.data[start:end].decode()
        return Mutant(self.path, line, start, end, before, after, self.lines[line - 1].strip())


def of_code(path: str, data: bytes) -> Iterator[Mutant]:
    """Every change of a module; declarations, annotations and texts are left as they are."""
    source = Source(path, data)
    yield from _below(source, ast.parse(data))


def _below(source: Source, node: ast.AST) -> Iterator[Mutant]:
    for name, value in ast.iter_fields(node):
        if name in {"decorator_list", "annotation", "returns", "bases", "type_params"}:
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.JoinedStr) or not isinstance(child, ast.AST):
                continue
            yield from (found for found in _of_node(source, child) if found is not None)
            yield from _below(source, child)


def _of_node(source: Source, node: ast.AST) -> Iterator[Mutant | None]:
    match node:
        case ast.Compare():
            sides = [node.left, *node.comparators]
            for left, operator, right in zip(sides, node.ops, sides[1:], strict=False):
                yield source.between(left, right, *COMPARED[type(operator)])
        case ast.BinOp() if type(node.op) in CALCULATED:
            yield source.between(node.left, node.right, *CALCULATED[type(node.op)])
        case ast.BoolOp():
            before, after = ("and", "or") if isinstance(node.op, ast.And) else ("or", "and")
            yield source.between(node.values[0], node.values[1], before, after)
        case ast.UnaryOp(op=ast.Not()):
            yield source.whole(node, f"bool({ast.unparse(node.operand)})")
        case ast.UnaryOp(op=ast.USub()):
            yield source.whole(node, f"(+{ast.unparse(node.operand)})")
        case ast.Constant(value=bool()):
            yield source.whole(node, str(not node.value))
        case ast.Constant(value=int() | float()):
            yield source.whole(node, f"({node.value!r} + 1)")
        case ast.Name(id=name) if name in NAMES:
            yield source.whole(node, NAMES[name])
        case ast.Attribute(value=ast.Name(id="Direction" | "Severity" as owner), attr=member) if member in MEMBERS:
            yield source.whole(node, f"{owner}.{MEMBERS[member]}")
        case ast.If() | ast.IfExp():
            yield source.whole(node.test, f"(not ({ast.unparse(node.test)}))")


def of_table(path: str, data: bytes) -> Iterator[Mutant]:
    """Each number of a table with one digit another, with a sign, or in the next column; each unit as another."""
    text = data.decode()
    units = set(re.findall(r"^# unit\.(\w+):", text, re.MULTILINE))
    columns: list[str] = []
    start = 0
    for number, line in enumerate(text.split("\n"), start=1):
        end = start + len(line.encode())
        head = re.fullmatch(r"(# unit\.\w+: )(\S+)", line)
        if head:
            yield Mutant(path, number, start, end, line, head[1] + UNITS.get(head[2], "1"), line)
        if line and not line.startswith("#"):
            cells = next(csv.reader([line]))
            if not columns:
                columns = cells
            else:
                yield from _of_row(path, number, (start, end), line, dict(zip(columns, cells, strict=True)), units)
        start = end + 1


def _of_row(
    path: str, number: int, span: tuple[int, int], line: str, row: dict[str, str], units: set[str]
) -> Iterator[Mutant]:
    numbers = [column for column in row if column in units]
    for column, beside in zip(numbers, [*numbers[1:], ""], strict=False):
        others = [row[column][:at] + _other(digit) + row[column][at + 1 :] for at, digit in enumerate(row[column])]
        others += ["-" + row[column]] * (row[column][:1].isdigit())
        changes = [{column: other} for other in others if other != row[column] and float(other) != float(row[column])]
        if beside and row[column] != row[beside]:
            changes.append({column: row[beside], beside: row[column]})
        for change in changes:
            told = ", ".join(f"{name}: {row[name]} -> {other}" for name, other in change.items())
            yield Mutant(path, number, *span, line, _line({**row, **change}), f"{row['id']}, {told}")


def _other(digit: str) -> str:
    return str((int(digit) + 1) % 10) if digit.isdigit() else digit


def _line(row: dict[str, str]) -> str:
    stream = io.StringIO()
    csv.writer(stream, lineterminator="").writerow(row.values())
    return stream.getvalue()


def all_of(root: Path, path: str) -> list[Mutant]:
    """Every change of one file."""
    data = (root / path).read_bytes()
    return list(of_table(path, data) if path.endswith(".csv") else of_code(path, data))
