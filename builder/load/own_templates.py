"""Templates of a site's own: they write prose from the site's content, in a sandbox, and never markup or numbers.

What a template writes is read as any other prose of the site: figures stand in it by their keys, a number with a unit
is refused, HTML is none. So whatever a template does, the rules that judge the rest of the handbook judge it too.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.nearest import nearest
from builder.base.record import dataclass
from builder.base.where import Where
from builder.load.markdown import ProseNode, readable_prose
from builder.load.nodes import Entries, Node, Scalar
from builder.load.sandbox import within_bounds

GIVEN = ("site", "areas", "gases", "sensors", "models", "setpoints", "checks", "cylinders")
"""What of the content a template is given, by the name of its file; nothing of persons, units or records."""
LONGEST = 200_000
"""Characters that a template may write."""
MARK = re.compile("\x02([0-9]+)\x03")
UNDEFINED = re.compile(r"'(?:[^']* object' has no attribute ')?([^']+)'(?: is undefined)?$")
NEEDED = "what docs/templates.md lists: loops, conditions and values of the content, and figures by their {key}"


@dataclass(frozen=True, slots=True)
class Template:
    """A template as its author wrote it."""

    front: Entries
    body: str
    start: Where
    """Where its body begins."""


def expanded(template: Template, given: Mapping[str, object]) -> tuple[tuple[ProseNode, ...], tuple[Problem, ...]]:
    """The prose that a template writes, each node with the line of the template that wrote it, and its faults."""
    from jinja2 import TemplateError, TemplateSyntaxError  # noqa: PLC0415 - loaded at first need

    lines = _Lines(template.start)
    try:
        text = "".join(_limited(within_bounds(template.body).generate(given)))
    except TemplateSyntaxError as error:
        return (), (lines.fault(error.lineno, str(error.message), ()),)
    except (SyntaxError, RecursionError, MemoryError):  # of Python, into which it is translated
        return (), (lines.fault(1, "loops, conditions or brackets stand too deep within each other", ()),)
    except (TemplateError, TypeError, ValueError, OverflowError) as error:
        return (), (lines.fault(_line_of(error), *_told(error, given)),)
    nodes, problems = readable_prose(lines.unmarked(text), Where(template.start.file, 1))
    return tuple(lines.node(node) for node in nodes), tuple(lines.problem(problem) for problem in problems)


def content_of(structured: Mapping[str, Node], language: str, languages: tuple[str, ...]) -> dict[str, object]:
    """What templates are given: lists and mappings of texts, those with translations in one language."""
    made: dict[str, object] = {}
    for name in GIVEN:
        node = structured.get(f"{name}.yaml")
        plain = plain_of(node, language, languages) if node is not None else {}
        made[name] = plain.get(name, []) if name != "site" and isinstance(plain, dict) else plain
    return made


def plain_of(node: Node, language: str, languages: tuple[str, ...]) -> Any:
    """A node as texts, lists and mappings."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Entries):
        names = [key.text for key, _ in node.entries]
        if names and set(names) <= set(languages):
            return plain_of(node.get(language) or node.entries[0][1], language, languages)
        return {key.text: plain_of(part, language, languages) for key, part in node.entries}
    return [plain_of(part, language, languages) for part in node.items]


def _limited(pieces: Iterator[str]) -> Iterator[str]:
    written = 0
    for piece in pieces:
        written += len(piece)
        if written > LONGEST:
            raise ValueError(f"it writes more than {LONGEST} characters")
        yield piece


def _told(error: Exception, given: Mapping[str, object]) -> tuple[str, tuple[str, ...]]:
    """What went wrong, in plain words, and the nearest name."""
    said = str(error)
    if "not safely callable" in said:
        return "a call; a template calls nothing", ()
    if "no loader" in said:
        return "another file; a template reads none", ()
    name = UNDEFINED.search(said)
    if name is None:
        return said, ()
    return f"nothing is called {name[1]!r}", nearest(name[1], dict.fromkeys((*given, *_keys(given))))


def _keys(value: object) -> Iterator[str]:
    if isinstance(value, Mapping):
        for key, part in value.items():
            yield str(key)
            yield from _keys(part)
    elif isinstance(value, list):
        for part in value:
            yield from _keys(part)


def _line_of(error: BaseException) -> int:
    """The line of the template that an error was raised for."""
    trace, line = error.__traceback__, 1
    while trace is not None:
        if trace.tb_frame.f_code.co_filename == "<template>":
            line = trace.tb_lineno
        trace = trace.tb_next
    return line


class _Lines:
    """Leads every line that was written back to the line of the template that wrote it."""

    def __init__(self, start: Where) -> None:
        self._start = start
        self._of: list[int] = []

    def unmarked(self, text: str) -> str:
        last, made = 1, []
        for line in text.split("\n"):
            found = MARK.search(line)
            last = int(found[1]) if found else last
            self._of.append(last)
            made.append(MARK.sub("", line))
        return "\n".join(made)

    def fault(self, line: int, said: str, near: tuple[str, ...]) -> Problem:
        return Problem(self._at(line), f"template: {said}", NEEDED, near, Kind.TEMPLATE)

    def _at(self, line: int) -> Where:
        return Where(self._start.file, self._start.line + line - 1)

    def _back(self, where: Where) -> Where:
        return self._at(self._of[min(where.line, len(self._of)) - 1])

    def node(self, node: ProseNode) -> ProseNode:
        return replace(node, where=self._back(node.where), children=tuple(self.node(child) for child in node.children))

    def problem(self, problem: Problem) -> Problem:
        return replace(problem, where=self._back(problem.where))
