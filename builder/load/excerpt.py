"""The line of a file that a fault is about, and which part of it is meant."""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.load.extended import content_folders

LONGEST_SHOWN = 100_000
"""Characters of a line of which a part is still shown."""
WIDTH = 160
"""Characters shown of a line."""
BEFORE = 40
"""Characters shown before what is meant, where a line is longer than that."""
QUOTED = re.compile(r"""'([^'\\]+)'|"([^"\\]+)\"""")
WORD = re.compile(r"[^\s,\]}]+")


@dataclass(frozen=True, slots=True)
class Excerpt:
    """Part of a line, and what in it is meant; of length 0 where nobody can tell."""

    text: str
    start: int = 0
    length: int = 0

    @property
    def caret(self) -> str:
        """Carets under what is meant, to be written below the text; empty where nobody can tell."""
        return " " * self.start + "^" * self.length if self.length else ""


def excerpt(line: str, column: int, found: str) -> Excerpt:
    """What a message is about: the words it quotes, else the word at the column, else the line alone.

    :param column: 1 for the first character; 0 where it is not known, and a quoted word is looked for if it stands
        there once.

    >>> excerpt("  low: {set: 5 ppn}", 13, "'set': unknown unit 'ppn'")
    Excerpt(text='low: {set: 5 ppn}', start=13, length=3)
    """
    at, length = _meant(line, column, found)
    text = line.replace("\t", " ").rstrip()
    cut = max(len(line) - len(line.lstrip()), at - BEFORE if len(text) > WIDTH else 0)
    return Excerpt(text[cut : cut + WIDTH], max(at - cut, 0), min(length, WIDTH + cut - at))


def _meant(line: str, column: int, found: str) -> tuple[int, int]:
    start = max(column - 1, 0)
    for match in QUOTED.finditer(found):
        words = match[1] or match[2]
        at = line.find(words, start)
        if at >= 0 and (line.count(words) == 1 or (column and at <= start + 1)):
            return at, len(words)
    word = WORD.match(line, start) if column else None
    return (start, len(word[0].rstrip(":")) or 1) if word else (0, 0)


def excerpts(content: Path, problems: Iterable[Problem]) -> dict[Problem, Excerpt]:
    """What is shown of each problem whose line can be read; a file is read once, and no further than its last fault."""
    by_file: dict[str, dict[int, list[Problem]]] = {}
    for problem in (one for one in problems if one.kind is not Kind.FILE_UNKNOWN):  # of such a file no line is at fault
        by_file.setdefault(problem.where.file, {}).setdefault(problem.where.line, []).append(problem)
    return {
        problem: excerpt(text, problem.where.column, problem.found)
        for file, wanted in by_file.items()
        for number, text in _numbered(content, file, max(wanted))
        if text.strip()
        for problem in wanted.get(number, ())
    }


def _numbered(content: Path, file: str, last: int) -> Iterator[tuple[int, str]]:
    path = content / file
    try:
        folders = [folder.path.resolve() for folder in content_folders(content)[0]]
        if not path.is_file() or not any(path.resolve().is_relative_to(folder) for folder in folders):
            return
        with path.open(encoding="utf-8-sig") as stream:
            for number, line in enumerate(iter(lambda: stream.readline(LONGEST_SHOWN), ""), start=1):
                if number > last or len(line) == LONGEST_SHOWN:  # no line of an author's
                    return
                yield number, line
    except (OSError, UnicodeDecodeError):
        return
