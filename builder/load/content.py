"""Reads every file of a content folder, collecting all faults instead of stopping at the first."""

from __future__ import annotations

import codecs
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from builder.base.errors import ContentError, Problem
from builder.base.nearest import nearest
from builder.base.where import Where
from builder.load.csv_lines import read_csv
from builder.load.markdown import Document, read_document
from builder.load.nodes import Node
from builder.load.yaml_lines import read_yaml

T = TypeVar("T")

REQUIRED = (
    "site.yaml",
    "gases.yaml",
    "sensors.yaml",
    "models.yaml",
    "areas.yaml",
    "setpoints.yaml",
    "cylinders.yaml",
    "checks.yaml",
)
"""Files every content folder has."""
INVENTORIES = ("inventory.yaml", "inventory.csv")
"""Exactly one of these."""
FOLDERS = {"procedures": ".md", "pages": ".md", "cards": ".yaml", "revisions": ".yaml"}
"""Folders of files, with the ending their files have."""
BIGGEST = 20_000_000
"""Bytes a content file may have."""


@dataclass(frozen=True, slots=True)
class Documents:
    """All files of a content folder, read but not judged; keys are paths below the folder."""

    structured: Mapping[str, Node]
    """YAML and CSV files."""
    prose: Mapping[str, Document]
    """Markdown files."""

    def folder(self, name: str) -> dict[str, Node]:
        """The structured files of one folder, in order of their names."""
        return {path: node for path, node in sorted(self.structured.items()) if path.startswith(f"{name}/")}

    def documents(self, name: str) -> list[Document]:
        """The Markdown files of one folder, in order of their names."""
        return [doc for path, doc in sorted(self.prose.items()) if path.startswith(f"{name}/")]


def load_content(root: Path) -> tuple[Documents, tuple[Problem, ...]]:
    """Every file of the folder, and every fault met while reading.

    :raises ContentError: when ``root`` is no folder; everything else is collected.
    """
    if not root.is_dir():
        raise ContentError([Problem(Where(root.name, 1), "no such folder", "a content folder (see docs/content.md)")])
    problems: list[Problem] = []
    structured: dict[str, Node] = {}
    prose: dict[str, Document] = {}
    for path in _wanted(root, problems):
        name = path.relative_to(root).as_posix()
        text = _read(path, name, problems)
        if text is None:
            continue
        if path.suffix == ".md":
            document = _collect(problems, read_document, text, name)
            if document is not None:
                prose[name] = document
            continue
        node = _collect(problems, read_csv if path.suffix == ".csv" else read_yaml, text, name)
        if node is not None:
            structured[name] = node
        elif not any(problem.where.file == name for problem in problems):
            problems.append(Problem(Where(name, 1), "the file is empty", "see docs/content.md"))
    return Documents(structured, prose), tuple(problems)


def _wanted(root: Path, problems: list[Problem]) -> list[Path]:
    known = (*REQUIRED, *INVENTORIES)
    wanted: list[Path] = []
    for path in sorted(root.iterdir()):
        if path.name.startswith("."):
            continue
        if path.is_dir():
            wanted += _in_folder(path, problems)
        elif path.name in known:
            wanted.append(path)
        elif path.name.lower() != "readme.md":
            close = nearest(path.name, [*known, *FOLDERS])
            problems.append(Problem(Where(path.name, 1), "a file the builder does not know", ", ".join(known), close))
    present = {path.name for path in wanted if path.parent == root}
    problems += [
        Problem(Where(name, 1), "missing", "this file in every content folder")
        for name in REQUIRED
        if name not in present
    ]
    inventories = [name for name in INVENTORIES if name in present]
    if len(inventories) != 1:
        found = "missing" if not inventories else "both inventory.yaml and inventory.csv"
        problems.append(Problem(Where(INVENTORIES[0], 1), found, "exactly one of inventory.yaml and inventory.csv"))
    return wanted


def _in_folder(folder: Path, problems: list[Problem]) -> list[Path]:
    if folder.name not in FOLDERS:
        close = nearest(folder.name, FOLDERS)
        problems.append(Problem(Where(folder.name, 1), "a folder the builder does not know", ", ".join(FOLDERS), close))
        return []
    ending = FOLDERS[folder.name]
    wanted: list[Path] = []
    for path in sorted(folder.iterdir()):
        if path.name.startswith(".") or path.name.lower() == "readme.md":
            continue
        if path.suffix == ending and path.is_file():
            wanted.append(path)
        else:
            where = Where(f"{folder.name}/{path.name}", 1)
            problems.append(Problem(where, "a file the builder does not know", f"files ending in {ending}"))
    return wanted


def _read(path: Path, name: str, problems: list[Problem]) -> str | None:
    try:
        data = path.read_bytes()
    except OSError as error:
        problems.append(Problem(Where(name, 1), f"cannot be read: {error.strerror}", "a readable file"))
        return None
    if len(data) > BIGGEST:
        problems.append(Problem(Where(name, 1), f"{len(data)} bytes", f"at most {BIGGEST} bytes"))
        return None
    mark = len(codecs.BOM_UTF8) if data.startswith(codecs.BOM_UTF8) else 0
    try:
        text = data[mark:].decode("utf-8")
    except UnicodeDecodeError as error:
        start = error.start + mark
        line = data[:start].count(b"\n") + 1
        problems.append(Problem(Where(name, line), f"byte {start} is not UTF-8", "text saved as UTF-8"))
        return None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _collect(problems: list[Problem], read: Callable[[str, str], T], text: str, name: str) -> T | None:
    try:
        return read(text, name)
    except ContentError as error:
        problems.extend(error.problems)
        return None
