"""JSON Schema of every structured file of a content folder, gathered from what the readers ask for.

Nothing is written by hand: content that is good is read while a watch notes each key, who reads it and what is allowed
there. An editor that knows the schema completes keys and marks what a reader would refuse; the readers stay the judges.
``python -m builder.program.schema templates/schema content tests/sites/minimal+tests/sites/more tests/sites/own``
writes one file for each kind of content file.
"""

import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field, replace
from pathlib import Path
from typing import Any, Final, TypeAlias

from builder.base.errors import Problem
from builder.base.record import dataclass
from builder.load.content import Documents, load_content
from builder.load.nodes import Entries, Items, Node
from builder.program.read import read_program
from builder.program.schema_kinds import kind_schema, needed, no_value_too
from builder.reference.library import library

DRAFT: Final = "https://json-schema.org/draft/2020-12/schema"
ITEM, ANY_KEY = "[]", "*"
Step: TypeAlias = str | int
Path_: TypeAlias = tuple[Step, ...]
Json: TypeAlias = dict[str, Any]
Told: TypeAlias = tuple[str, Json, bool, bool]
"""Name of a reader, what it allows, whether the key must be there, whether it was asked for because it is not there."""


@dataclass(slots=True)
class Mapped:
    """Mappings that stand in the same kind of place, and what is asked of them."""

    kinds: dict[str, list[Json]] = field(default_factory=dict)
    """Key -> what its readers allow, each once."""
    needed_in: dict[str, dict[Path_, None]] = field(default_factory=dict)
    """Key -> places where it was asked for as one that must be there."""
    places: set[Path_] = field(default_factory=set)


class Asked:
    """Notes what readers ask for in the files of some content folders."""

    def __init__(self) -> None:
        self._places: dict[int, Path_] = {}
        self._kept: list[Node] = []
        self.mappings: dict[Path_, dict[str, list[Told]]] = {}
        self.free: set[Path_] = set()
        """Mappings whose keys are data."""
        self.texts: dict[Path_, str] = {}
        """Every single value, to take examples from."""

    def know(self, root: Path_, node: Node) -> None:
        """Remember where every part of a file stands."""
        self._kept.append(node)
        self._places[id(node)] = root
        if isinstance(node, Items):
            for number, item in enumerate(node.items):
                self.know((*root, number), item)
        elif isinstance(node, Entries):
            for name, part in node.entries:
                self.know((*root, name.text), part)
        elif not node.empty:
            self.texts[root] = node.text

    def asked(self, node: Entries, key: str, how: str, args: tuple[Any, ...], others: Mapping[str, Any]) -> None:
        """As ``Watch`` has it; what stands in no file, as rows of tables, is passed over."""
        place = self._places.get(id(node))
        if place is None:
            return
        if how == "pairs":
            self.free.add((*place, key))
        left_alone = how == "take" and node.get(key) is None
        told = (how, kind_schema(how, args, others), needed(how, args, others), left_alone)
        self.mappings.setdefault(place, {}).setdefault(key, []).append(told)


def schemas(contents: Iterable[str]) -> dict[str, Json]:
    """Name of a schema (``areas``, ``cards``) -> schema, from good content.

    :param contents: content folders; of ``one+other`` the files of the other take the place of those of the one.

    :raises ContentError: when a folder is none or its content is faulty.
    """
    asked = Asked()
    for number, content in enumerate(contents):
        documents, problems = _laid_over(content.split("+"))
        for name, node in documents.structured.items():
            asked.know((schema_name(name), f"{number}:{name}"), node)
        read_program(documents, problems, library(), asked)
    mappings: dict[Path_, Mapped] = {}
    for place, keys in asked.mappings.items():
        _merge(mappings.setdefault(_general(place, asked.free), Mapped()), place, keys)
    examples: dict[Path_, str] = {}
    for place, text in asked.texts.items():
        examples.setdefault(_general(place, asked.free), text)
    made = _Maker(mappings, examples)
    return {name: made.file(name) for name in sorted({str(place[0]) for place in mappings})}


def _laid_over(folders: Iterable[str]) -> tuple[Documents, tuple[Problem, ...]]:
    read = [load_content(Path(folder)) for folder in folders]
    (first, problems), *others = read
    structured = dict(first.structured)
    for documents, _ in others:
        structured |= documents.structured
    return replace(first, structured=structured), problems


def schema_name(path: str) -> str:
    """The name of the schema for a content file.

    >>> schema_name("areas.yaml"), schema_name("cards/pit.yaml")
    ('areas', 'cards')
    """
    return path.partition("/")[0].removesuffix(".yaml")


def _general(place: Path_, free: set[Path_]) -> Path_:
    """A place without what differs from file to file: numbers of a list, keys that are data."""
    made: list[Step] = [place[0]]
    for end in range(2, len(place)):
        step = place[end]
        made.append(ITEM if isinstance(step, int) else ANY_KEY if place[:end] in free else step)
    return tuple(made)


def _merge(into: Mapped, place: Path_, keys: Mapping[str, list[Told]]) -> None:
    into.places.add(place)
    for key, told in keys.items():
        known = into.kinds.setdefault(key, [])
        for _, kind, must, left_alone in told:
            if kind not in known and not left_alone:
                known.append(kind)
            if must:
                into.needed_in.setdefault(key, {})[place] = None


@dataclass(frozen=True, slots=True)
class _Maker:
    mappings: Mapping[Path_, Mapped]
    examples: Mapping[Path_, str]

    def file(self, name: str) -> Json:
        """The schema of one kind of file."""
        return {"$schema": DRAFT, "title": f"{name} of a content folder", **self._at((name,)), "type": "object"}

    def _at(self, place: Path_) -> Json:
        """What is known of a place beyond what the reader of its key says."""
        made: Json = {}
        if place in self.mappings:
            made |= self._mapping(place, self.mappings[place])
        steps = {
            other[len(place)] for other in self.mappings if len(other) > len(place) and other[: len(place)] == place
        }
        if ITEM in steps:
            made["items"] = self._at((*place, ITEM))
        if ANY_KEY in steps:
            made["additionalProperties"] = self._at((*place, ANY_KEY))
        for step in sorted(str(step) for step in steps - {ITEM, ANY_KEY}):
            if step not in made.get("properties", {}):
                made.setdefault("properties", {})[step] = self._at((*place, step))
        return made

    def _mapping(self, place: Path_, mapped: Mapped) -> Json:
        must = sorted(key for key, places in mapped.needed_in.items() if places.keys() == mapped.places)
        keys = {key: self._key((*place, key), kinds, key in must) for key, kinds in mapped.kinds.items()}
        made: Json = {"properties": keys, "additionalProperties": False}
        return {"required": must, **made} if must else made

    def _key(self, place: Path_, kinds: list[Json], must: bool) -> Json:
        kind = _one_kind(kinds)
        below = self._at(place)
        made = {**kind, **below}
        if "description" in kind:
            made["description"] = ("Must be there. " if must else "") + kind["description"]
        example = self.examples.get(place) or self.examples.get((*place, ITEM))
        if example and "enum" not in made and "examples" not in made:
            made["examples"] = [example]
        return made if must else no_value_too(made)


def _one_kind(kinds: list[Json]) -> Json:
    """What several readers of one key allow together; choices that differ from place to place are only shown."""
    if len(kinds) <= 1:
        return kinds[0] if kinds else {}
    kept = [kind for kind in kinds if kind]
    if len({str(kind.get("description", "")).partition(":")[0] for kind in kept}) == 1 and len(kept) == len(kinds):
        made = {name: part for name, part in kept[0].items() if all(kind.get(name) == part for kind in kept)}
        shared = [choice for choice in kept[0].get("enum", ()) if all(choice in kind.get("enum", ()) for kind in kept)]
        return {"type": "string", "examples": shared} | made if shared and "enum" not in made else made
    return {}


def written(made: Mapping[str, Json]) -> Iterator[tuple[str, str]]:
    """File name and text of each schema."""
    for name, schema in made.items():
        yield f"{name}.json", json.dumps(schema, ensure_ascii=False, indent=1) + "\n"


def main(arguments: list[str]) -> None:
    """Write the schemas that content folders show to a folder."""
    out, *contents = arguments
    Path(out).mkdir(parents=True, exist_ok=True)
    for name, text in written(schemas(contents)):
        (Path(out) / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
