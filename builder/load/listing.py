"""Which files a content folder has, and what is said of those it should not have."""

from pathlib import Path

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.nearest import nearest
from builder.base.where import Where
from builder.load.extended import KEPT, Folder
from builder.load.overlay import inherited
from builder.load.tables import ENDINGS

REQUIRED = (
    "site.yaml", "gases.yaml", "sensors.yaml", "models.yaml", "areas.yaml", "setpoints.yaml", "cylinders.yaml",
    "checks.yaml",
)  # fmt: skip
"""Files every content folder has."""
INVENTORIES = ("inventory.yaml", "inventory.csv", "inventory.tsv", "inventory.xlsx")
"""Exactly one of these."""
OPTIONAL = (
    "maps.yaml", "people.yaml", "calendar.yaml", "labels.yaml", "books.yaml", "forms.yaml", "sheets.yaml",
    "accepted.yaml", "confirm.yaml", "copies.yaml", "retention.yaml", "prices.yaml", "stations.yaml",
)  # fmt: skip
"""Files a content folder may have."""
PICTURES = (".svg", ".png")
"""Endings of pictures, which stand beside templates."""
DRAWINGS = ("plan.svg",)
"""Drawings it may have."""
UNREAD = ("readme.md", "trusted-signers")
"""Files, in small letters, that may stand in the folder and hold nothing of the handbook."""
FOLDERS = {
    "procedures": (".md",),
    "pages": (".md",),
    "cards": (".yaml",),
    "revisions": (".yaml",),
    "records": ENDINGS,
    "readback": ENDINGS,
    "movements": ENDINGS,
    "station-log": ENDINGS,
    "lists": (".yaml",),
    "templates": (".md", *PICTURES),
    "translations": (".yaml",),
}
"""Folders of files, with the endings their files may have."""
PLAIN = "a plain file"
NEITHER = "neither a file nor a folder"
FOLDER_NAMED_SO = "a folder with the name of a file"
NOT_KNOWN = "a file the builder does not know"


def passed_over(name: str) -> bool:
    """Whether a file is hidden, the mark of a workbook that is open, or what an editor kept of an earlier state."""
    return name.startswith((".", "~$")) or name.endswith("~")


def wanted_files(folder: Folder, present: set[str], problems: list[Problem]) -> list[Path]:
    """What of a folder is read; names of files that are there, be they good or not, are added to ``present``."""
    known = (*REQUIRED, *INVENTORIES, *OPTIONAL, *DRAWINGS)
    wanted: list[Path] = []
    for path in sorted(folder.path.iterdir()):
        where = Where(folder.told(path.name), 1)
        if passed_over(path.name):
            continue
        if path.name == KEPT and not folder.name:  # what a release kept; read in the place of other folders
            continue
        if folder.name and not inherited(path.name):
            continue
        if _leads_out(path, folder, problems):
            continue
        if path.is_dir() and path.name in known:
            problems.append(_refused(where, FOLDER_NAMED_SO, PLAIN))
            present.add(path.name)
        elif path.is_dir():
            wanted += _in_folder(path, folder, problems)
        elif not path.is_file():  # a pipe or a device, of which reading may never end
            problems.append(_refused(where, NEITHER, PLAIN))
            present.add(path.name)
        elif path.name in known:
            wanted.append(path)
            present.add(path.name)
        elif path.name.lower() not in UNREAD:
            same = [name for name in known if name.partition(".")[0] == path.name.lower().partition(".")[0]]
            close = tuple(same[:1]) or nearest(path.name, [*known, *FOLDERS])
            present.update(close[:1])  # that this one is missing too would be the same slip told twice
            problems.append(_refused(where, NOT_KNOWN, ", ".join(known), close))
    return wanted


def _refused(where: Where, found: str, allowed: str, close: tuple[str, ...] = ()) -> Problem:
    """A file or folder that is not read."""
    return Problem(where, found, allowed, close, Kind.FILE_UNKNOWN)


def require(present: set[str], problems: list[Problem]) -> None:
    """Note which of the files that every content has are nowhere."""
    problems += [
        Problem(Where(name, 1), "missing", "this file in every content folder", kind=Kind.FILE_MISSING)
        for name in REQUIRED
        if name not in present
    ]
    inventories = [name for name in INVENTORIES if name in present]
    allowed = "exactly one of " + ", ".join(INVENTORIES)
    if not inventories:
        problems.append(Problem(Where(INVENTORIES[0], 1), "missing", allowed, kind=Kind.FILE_MISSING))
    if len(inventories) > 1:
        found = f"{' and '.join(inventories[1:])} beside it"
        problems.append(Problem(Where(inventories[0], 1), found, allowed, kind=Kind.TWICE))


def _in_folder(path: Path, folder: Folder, problems: list[Problem]) -> list[Path]:
    if path.name not in FOLDERS:
        close = nearest(path.name, FOLDERS)
        where = Where(folder.told(path.name), 1)
        problems.append(_refused(where, "a folder the builder does not know", ", ".join(FOLDERS), close))
        return []
    endings = FOLDERS[path.name]
    wanted: list[Path] = []
    for file in sorted(path.iterdir()):
        if passed_over(file.name) or file.name.lower() == "readme.md":
            continue
        if _leads_out(file, folder, problems):
            continue
        where = Where(folder.told(f"{path.name}/{file.name}"), 1)
        if file.suffix in endings and file.is_file():
            wanted.append(file)
        elif file.suffix in endings:
            problems.append(_refused(where, FOLDER_NAMED_SO if file.is_dir() else NEITHER, PLAIN))
        else:
            problems.append(_refused(where, NOT_KNOWN, f"files ending in {' or '.join(endings)}"))
    return wanted


def _leads_out(path: Path, folder: Folder, problems: list[Problem]) -> bool:
    """Whether a file or folder is a link to somewhere outside of the content, which would print what is not content."""
    try:
        if path.resolve(strict=True).is_relative_to(folder.path.resolve()):
            return False
    except (OSError, RuntimeError):  # a link to nothing, or to itself
        pass
    where = Where(folder.told(path.relative_to(folder.path).as_posix()), 1)
    problems.append(_refused(where, "a link that leads out of the content folder", "the file itself"))
    return True
