"""What is said of a table of unknown form, its map as it is thought out, and that map as lines of ``maps.yaml``."""

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import field

from builder.base.record import dataclass
from builder.program.table_kinds import INVENTORY, TableKind
from builder.program.trade_words import IGNORED


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a person said of the table already; it goes before whatever is seen in it."""

    fields: Mapping[str, str] = field(default_factory=dict)
    """Field by head."""
    constants: Mapping[str, str] = field(default_factory=dict)
    ignore: tuple[str, ...] = ()
    footers: tuple[str, ...] = ()
    values: Mapping[str, str] = field(default_factory=dict)
    """What a word stands for, by its field, a colon and the word: ``model:4-gas``."""
    zone: str = ""
    time_format: str = ""
    decimal: str | None = None
    """``point`` or ``comma``."""


@dataclass(slots=True)
class Proposal:
    """A map as it is thought out."""

    kind: TableKind
    line: int
    """Row of the heads."""
    head: tuple[str, ...]
    samples: Mapping[str, tuple[str, ...]]
    """First values by head."""
    columns: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Heads by field."""
    values: dict[str, dict[str, str]] = field(default_factory=dict)
    constants: dict[str, str] = field(default_factory=dict)
    ignore: list[str] = field(default_factory=list)
    settings: dict[str, str] = field(default_factory=dict)
    """Other keys of the map and their values."""
    footers: dict[int, str] = field(default_factory=dict)
    """How rows at the end begin that are no rows, by their numbers."""
    unsure: list[str] = field(default_factory=list)
    """What a person has to answer, a line each."""

    def meaning(self, head: str) -> str:
        """What a head is taken for; empty where it is not understood."""
        if head in self.ignore:
            return IGNORED
        return next((name for name, heads in self.columns.items() if head in heads), "")


UNQUOTED = re.compile(r"[^\W\d_][\w-]*(?: [\w-]+)*")
TAKEN = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})
"""Words that YAML takes for something else than text."""
DOUBT = "# unsure: "
KEYS = ("ids", "merged", "head-rows", "time-format", "zone", "decimal", "encoding", "separator", "heads")
"""Keys of a map in the order in which they are written."""


class MapPlaceError(ValueError):
    """The file of maps is written in a way that nothing can be added to."""


def map_lines(made: Proposal, pattern: str) -> list[str]:
    """The map as an entry of its section; whatever is unsure stands in a comment."""
    lines = [] if made.kind is INVENTORY else [f"files: {_quoted(pattern)}"]
    if "sheet" in made.settings:
        lines.append(f"sheet: {_quoted(made.settings['sheet'])}")
    if made.columns:
        lines.append("columns:")
        for name, heads in made.columns.items():
            shown = _quoted(heads[0]) if len(heads) == 1 else f"[{', '.join(map(_quoted, heads))}]"
            lines.append(f"  {name}: {shown}")
    if made.constants:
        lines.append(f"constants: {_mapping(made.constants.items())}")
    if made.values:
        lines.append("values:")
        lines += [f"  {name}: {_mapping(words.items())}" for name, words in made.values.items()]
    lines += [f"{key}: {made.settings[key]}" for key in KEYS if key in made.settings and key != "time-format"]
    if "time-format" in made.settings:
        lines.append(f"time-format: {json.dumps(made.settings['time-format'])}")
    if made.footers:
        lines.append(f"footers: [{', '.join(map(_quoted, dict.fromkeys(made.footers.values())))}]")
    if made.ignore:
        lines.append(f"ignore: [{', '.join(map(_quoted, made.ignore))}]")
    lines += [DOUBT + " ".join(line.split()) for line in made.unsure]
    if made.kind is INVENTORY:
        return [f"  {line}" for line in lines]
    return [f"  - {lines[0]}", *(f"    {line}" for line in lines[1:])]


def with_map(text: str, made: Proposal, pattern: str) -> str:
    """The text of ``maps.yaml`` with one more map.

    :raises MapPlaceError: when its section cannot be added to.
    """
    new = map_lines(made, pattern)
    lines = text.rstrip().split("\n") if text.strip() else []
    at = next((n for n, line in enumerate(lines) if re.match(rf"{made.kind.id}\s*:", line)), None)
    if at is None:
        return "\n".join([*lines, f"{made.kind.id}:", *new, ""])
    if made.kind is INVENTORY:
        raise MapPlaceError("maps.yaml has a map of the inventory already")
    if re.fullmatch(r"[\w-]+\s*:\s*(#.*)?", lines[at]) is None:
        raise MapPlaceError(f"maps.yaml:{at + 1}: {made.kind.id} is written in one line; write an entry a line first")
    end = next((n for n in range(at + 1, len(lines)) if re.match(r"[^\s#-]", lines[n])), len(lines))
    while end > at + 1 and re.fullmatch(r"\s*(#.*)?", lines[end - 1]) and not lines[end - 1].startswith("  "):
        end -= 1
    dash = next((line for line in lines[at + 1 : end] if line.lstrip().startswith("- ")), "  - ")
    indent = len(dash) - len(dash.lstrip())
    return "\n".join([*lines[:end], *(" " * indent + line[2:] for line in new), *lines[end:], ""])


def _mapping(pairs: Iterable[tuple[str, str]]) -> str:
    return "{" + ", ".join(f"{_quoted(key)}: {_quoted(value)}" for key, value in pairs) + "}"


def _quoted(text: str) -> str:
    """The text as YAML, in quotes where it could be taken for anything else."""
    plain = UNQUOTED.fullmatch(text) and text.casefold() not in TAKEN
    return text if plain else json.dumps(text, ensure_ascii=False)
