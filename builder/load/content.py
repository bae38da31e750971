"""Reads every file of a content folder, collecting all faults instead of stopping at the first."""

import codecs
import re
from collections.abc import Mapping
from dataclasses import field, replace
from pathlib import Path

from builder.base.errors import Problem, refusal
from builder.base.fault_kinds import Kind
from builder.base.gc_pause import gc_paused
from builder.base.record import dataclass
from builder.base.where import Where
from builder.load.drawing import Element, read_drawing
from builder.load.encoding import UTF_8, odd_byte, other_encoding
from builder.load.extended import Folder, content_folders
from builder.load.listing import INVENTORIES, PICTURES, require, wanted_files
from builder.load.markdown import Document, parted, read_document
from builder.load.nodes import Node
from builder.load.overlay import Overlay, Override
from builder.load.own_templates import Template
from builder.load.pictures import BIGGEST as BIGGEST_PICTURE
from builder.load.pictures import harmless
from builder.load.tables import ENDINGS, SourceTable
from builder.load.yaml_lines import readable_yaml

BIGGEST = 10_000_000
"""Bytes a file of structured data may have."""
BIGGEST_PROSE = 200_000
"""Bytes a file of prose, or a drawing, may have: some eighty pages."""
BIGGEST_TABLE = 60_000_000
"""Bytes a table of records may have; it is read row by row."""
BIGGEST_INVENTORY = 30_000_000
"""Bytes an inventory may have."""
MERGED = re.compile(r"^(?:<{7} .*|={7}\s*|>{7} .*)$", re.MULTILINE)
"""Lines by which version control marks two versions that somebody has to choose from."""


@dataclass(frozen=True, slots=True)
class Documents:
    """All files of a content folder, read but not judged; keys are paths below the folder."""

    structured: Mapping[str, Node]
    """YAML files."""
    prose: Mapping[str, Document]
    """Markdown files."""
    tables: Mapping[str, SourceTable] = field(default_factory=dict)
    """CSV files and workbooks, not yet read; the site's own only."""
    templates: Mapping[str, Template] = field(default_factory=dict)
    """Templates of the site's own, by path."""
    pictures: Mapping[str, bytes] = field(default_factory=dict)
    """Pictures beside them, made harmless, by name."""
    drawings: Mapping[str, Element] = field(default_factory=dict)
    """SVG files; the site's own only."""
    overrides: tuple[Override, ...] = ()
    """What one folder says in place of another that it extends."""
    extended: tuple[str, ...] = ()
    """Folders that are extended, as they are told, the nearest first."""

    def plain(self, file: str) -> str:
        """A file without the folder that it came from."""
        return next((file[len(name) + 1 :] for name in self.extended if file.startswith(f"{name}/")), file)

    def folder(self, name: str) -> dict[str, Node]:
        """The structured files of one folder, in order of their names."""
        return {path: node for path, node in sorted(self.structured.items()) if path.startswith(f"{name}/")}

    def tables_in(self, name: str) -> list[SourceTable]:
        """The tables of one folder, in order of their names."""
        return [table for path, table in sorted(self.tables.items()) if path.startswith(f"{name}/")]

    def documents(self, name: str) -> list[Document]:
        """The Markdown files of one folder, in order of their names."""
        return [doc for path, doc in sorted(self.prose.items()) if path.startswith(f"{name}/")]


@gc_paused()
def load_content(root: Path) -> tuple[Documents, tuple[Problem, ...]]:
    """Every file of the folder and of those it extends, laid over each other, and every fault met while reading.

    :raises ContentError: when ``root`` is no folder; everything else is collected.
    """
    if not root.is_dir():
        raise refusal(Kind.FILE_MISSING, Where(".", 1), "no such folder", "a content folder (see docs/content.md)")
    folders, faults = content_folders(root)
    problems = list(faults)
    over, present = Overlay(), set[str]()
    documents = _read_folder(folders[-1], present, problems)
    for folder in reversed(folders[:-1]):
        nearer = _read_folder(folder, present, problems)
        structured = over.files(nearer.structured, documents.structured)
        prose = over.wholes(nearer.prose, documents.prose)
        templates = over.wholes(nearer.templates, documents.templates)
        pictures = {**documents.pictures, **nearer.pictures}
        documents = Documents(structured, prose, nearer.tables, templates, pictures, nearer.drawings)
    problems += over.problems
    require(present - {one.file for one in over.overrides if one.removed and not one.path}, problems)
    extended = tuple(folder.name for folder in folders[1:])
    return replace(documents, overrides=tuple(over.overrides), extended=extended), tuple(problems)


def _read_folder(folder: Folder, present: set[str], problems: list[Problem]) -> Documents:
    """The files of one folder alone; of an extended one those that it hands on."""
    structured: dict[str, Node] = {}
    prose: dict[str, Document] = {}
    tables: dict[str, SourceTable] = {}
    templates: dict[str, Template] = {}
    pictures: dict[str, bytes] = {}
    drawings: dict[str, Element] = {}
    for path in wanted_files(folder, present, problems):
        name = path.relative_to(folder.path).as_posix()
        told = folder.told(name)
        if path.suffix in ENDINGS:
            if _fits(path, told, BIGGEST_INVENTORY if name in INVENTORIES else BIGGEST_TABLE, problems):
                tables[name] = SourceTable(name, path)
            continue
        if name.startswith("templates/") and path.suffix in PICTURES:
            if _fits(path, told, BIGGEST_PICTURE, problems):
                pictures[path.name], found = harmless(path.read_bytes(), told)
                problems += found
            continue
        text = _read(path, told, problems)
        if text is None:
            continue
        if name.startswith("templates/"):
            front, body, start, found = parted(text, told)
            problems += found
            if front is not None:
                templates[name] = Template(front, body, start)
            continue
        if path.suffix == ".md":
            prose[name] = read_document(text, told)
            problems += prose[name].problems
            continue
        if path.suffix == ".svg":
            drawing, found = read_drawing(text, told)
            problems += found
            drawings |= {name: drawing} if drawing else {}
            continue
        node, found = readable_yaml(text, told)
        problems += found
        if node is not None:
            structured[name] = node
        elif not found:
            problems.append(Problem(Where(told, 1), "the file is empty", "see docs/content.md", kind=Kind.FILE_MISSING))
    return Documents(structured, prose, tables, templates, pictures, drawings)


def _fits(path: Path, name: str, most: int, problems: list[Problem]) -> bool:
    try:
        size = path.stat().st_size
    except OSError as error:
        problems.append(_unreadable(name, error))
        return False
    if size > most:
        problems.append(Problem(Where(name, 1), f"{size} bytes", f"at most {most} bytes", kind=Kind.TOO_BIG))
    return size <= most


def _unreadable(name: str, error: OSError) -> Problem:
    return Problem(Where(name, 1), f"cannot be read: {error.strerror}", "a readable file", kind=Kind.FILE_UNREADABLE)


def _read(path: Path, name: str, problems: list[Problem]) -> str | None:
    if not _fits(path, name, BIGGEST_PROSE if path.suffix in (".md", ".svg") else BIGGEST, problems):
        return None
    try:
        data = path.read_bytes()
    except OSError as error:
        problems.append(_unreadable(name, error))
        return None
    mark = len(codecs.BOM_UTF8) if data.startswith(codecs.BOM_UTF8) else 0
    try:
        text = data[mark:].decode("utf-8")
    except UnicodeDecodeError as error:
        start = error.start + mark
        line = data[:start].count(b"\n") + 1
        whole = other_encoding(data)
        where = Where(name, 1 if whole else line)
        problems.append(Problem(where, whole or odd_byte(data[start]), UTF_8, kind=Kind.ENCODING))
        return None
    if "\0" in text:
        found = other_encoding(data) or "a character that no text has: U+0000"
        problems.append(Problem(Where(name, 1), found, UTF_8, kind=Kind.ENCODING))
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    merged = MERGED.search(text)
    if merged:
        where, found = Where(name, text.count("\n", 0, merged.start()) + 1), f"{merged.group().strip()!r} of a merge"
        allowed = "one of the two versions, and none of the lines of this kind"
        problems.append(Problem(where, found, allowed, kind=Kind.CONFLICT))
        return None
    return text
