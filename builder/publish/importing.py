"""Puts a table and its map into a content folder; nothing that stands there is written over."""

import re
from fnmatch import fnmatchcase
from pathlib import Path

from builder.base.errors import ContentError, UsageError
from builder.base.record import dataclass
from builder.load.content import load_content
from builder.load.listing import INVENTORIES
from builder.load.tables import ENDINGS
from builder.load.yaml_lines import readable_yaml
from builder.program.column_maps import Maps, read_maps
from builder.program.faults import Faults
from builder.program.known_words import KnownWords, known_words
from builder.program.proposal import MapPlaceError, Proposal, map_lines, with_map
from builder.program.table_kinds import INVENTORY
from builder.publish.translations_yaml import write_whole

DIGITS = re.compile(r"\d+(?:[-_. ]?\d+)*")
MAPS = "maps.yaml"


@dataclass(frozen=True, slots=True)
class Place:
    """Where a table goes."""

    file: str
    """Path below the content folder."""
    pattern: str
    """Names that the map is for."""
    text: str
    """The map as it would stand in the file of maps."""


def site_words(content: Path) -> KnownWords:
    """What the site calls its things; nothing where there is no such folder."""
    try:
        documents, _ = load_content(content)
    except ContentError:
        return KnownWords()
    return known_words(documents)


def place_of(source: Path, content: Path, made: Proposal) -> Place:
    """Where a table goes, under names that next month's file has too unless that would take in other files."""
    ending = next((known for known in ENDINGS if known == source.suffix.lower()), ENDINGS[0])
    if made.kind is INVENTORY:
        return Place(f"inventory{ending}", "", "\n".join(["inventory:", *map_lines(made, "")]))
    name = source.stem + ending
    pattern = DIGITS.sub("*", source.stem) + ending
    folder = content / made.kind.id
    others = [path.name for path in folder.iterdir() if path.name != name] if folder.is_dir() else []
    if any(fnmatchcase(other, pattern) for other in others) or not re.search(r"\w", pattern.removesuffix(ending)):
        pattern = name
    return Place(f"{made.kind.id}/{name}", pattern, "\n".join([f"{made.kind.id}:", *map_lines(made, pattern)]))


def put_in_place(source: Path, content: Path, made: Proposal, place: Place) -> None:
    """Add the map and copy the file.

    :raises UsageError: when there is no such folder, a map for the file, or another file in its place.
    """
    if not content.is_dir():
        raise UsageError(f"no folder {content.as_posix()}; allowed: a content folder")
    target, maps = content / place.file, content / MAPS
    data = source.read_bytes()
    if target.exists() and target.read_bytes() != data:
        raise UsageError(f"{target.as_posix()} stands there and differs; put it away, or name the new file otherwise")
    rival = next((name for name in INVENTORIES if (content / name).exists() and name != place.file), None)
    if made.kind is INVENTORY and rival:
        raise UsageError(f"{(content / rival).as_posix()} is the site's inventory; delete or move it, then repeat")
    before = maps.read_text(encoding="utf-8") if maps.exists() else ""
    _refuse_second_map(before, made, place)
    try:
        after = with_map(before, made, place.pattern)
    except MapPlaceError as error:
        raise UsageError(str(error)) from error
    kept, _ = _maps(before)
    read, faults = _maps(after)
    if faults or _count(read) != _count(kept) + 1:
        raise UsageError(f"{MAPS} would not be read any more: {faults or 'its form'}; add the map by hand")
    stood = target.exists()
    if not stood:
        write_whole(target, data)
    try:
        write_whole(maps, after.encode())
    except OSError:  # a table without its map would hinder every build
        if not stood:
            target.unlink()
        raise


def _refuse_second_map(text: str, made: Proposal, place: Place) -> None:
    maps, faults = _maps(text)
    if text.strip() and faults:
        raise UsageError(f"{MAPS} has faults, which `handbook check` tells: {faults}")
    if made.kind is INVENTORY:
        found = [maps.inventory] if maps.inventory else []
    else:
        sheet = made.settings.get("sheet")
        held = [one for one in getattr(maps, made.kind.id.replace("-", "_")) if one.holds_for(place.file)]
        found = [one for one in held if not sheet or not one.sheets or sheet in one.sheets]
    if found:
        raise UsageError(f"{found[0].where} is a map for {place.file} already; take it out, or copy the file alone")


def _maps(text: str) -> tuple[Maps, str]:
    """The maps in a text, and the first fault in it."""
    node, problems = readable_yaml(text, MAPS) if text.strip() else (None, ())
    faults = Faults(problems)
    maps = read_maps(node, faults)
    return maps, str(faults.problems[0]) if faults.problems else ""


def _count(maps: Maps) -> int:
    listed = (maps.records, maps.readback, maps.movements, maps.station_log)
    return sum(map(len, listed)) + (maps.inventory is not None)
