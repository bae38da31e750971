"""A site of the tests after a few changes of its text, of which only the files that changed are read anew."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path, PurePosixPath

from builder.load.content import _read_folder, load_content
from builder.load.extended import Folder
from builder.program.read import read_program
from builder.reference.library import library

KINDS = ("structured", "prose", "tables", "templates", "pictures", "drawings")


def edited(base, scratch, *changes):
    """The program of a folder after changes (file, old, new); raises when it holds a fault of form.

    :param scratch: a folder without a file, where what changes is written.
    """
    documents, problems = documents_after(base, write(scratch, base, *changes))
    return read_program(documents, problems, library())


def write(folder, base, *changes):
    """Write the files that changes touch, and no other; ``old`` stands once, or is empty where ``new`` is the file."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, old, new in changes:
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        if not old:
            path.write_text(new, encoding="utf-8")
            continue
        text = (path if path.exists() else base / name).read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
        path.write_text(text.replace(old, new), encoding="utf-8")
    return folder


def documents_after(base, folder):
    """What a content folder holds once the files of ``folder`` stand in it, and every fault met while reading those."""
    before, problems = read_once(base), []
    after = _read_folder(Folder(folder), set(), problems)
    kinds = {}
    for kind in KINDS:
        left = {name: read for name, read in getattr(before, kind).items() if not (folder / name).exists()}
        files = left | dict(getattr(after, kind))
        kinds[kind] = dict(sorted(files.items(), key=lambda file: PurePosixPath(file[0]).parts))  # as a folder is read
    return replace(before, **kinds), tuple(problems)


@cache
def program_once(base: Path):
    """The program of a sound site that lies in the tree."""
    return read_program(read_once(base), (), library())


@cache
def read_once(base: Path):
    """The documents of a site that lies in the tree; plain data, which no test can change."""
    documents, problems = load_content(base)
    assert problems == ()
    assert documents.extended == (), "what it extends would have to be laid under the files that change"
    return documents
