"""What a site calls its own things, as far as its files can be read: words of a new table may stand for them."""

from collections.abc import Iterator, Mapping
from dataclasses import field

from builder.base.record import dataclass
from builder.load.content import Documents
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.program.trade_words import tidied

OF_FILES = {f"{what}.yaml": what for what in ("sensors", "models", "areas", "checks", "stations")}

OF_FIELDS = {"sensor": "sensors", "model": "models", "area": "areas", "station": "stations"}


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownWords:
    """Ids of a site; nothing where it has none yet."""

    zone: str = ""
    """The site's time zone, from its calendar."""
    checks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Ids by kind."""
    sensors: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Ids by channel."""
    ids: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Ids by field of a table."""
    names: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """By field, the id by each tidied name in any language."""


def known_words(documents: Documents) -> KnownWords:
    """The ids in the files of a content folder, judged by nobody."""
    found = {what: list(_entries(documents.structured.get(file), what)) for file, what in OF_FILES.items()}
    calendar = documents.structured.get("calendar.yaml")
    return KnownWords(
        zone=_text(calendar, "zone"),
        checks=_grouped(found["checks"], "kind"),
        sensors=_grouped(found["sensors"], "channel"),
        ids={name: tuple(_text(entry, "id") for entry in found[what]) for name, what in OF_FIELDS.items()},
        names={name: _named(found[what]) for name, what in OF_FIELDS.items()},
    )


def _entries(node: Node | None, key: str) -> Iterator[Entries]:
    listed = node.get(key) if isinstance(node, Entries) else None
    yield from (item for item in (listed.items if isinstance(listed, Items) else ()) if isinstance(item, Entries))


def _text(node: Node | None, key: str) -> str:
    found = node.get(key) if isinstance(node, Entries) else None
    return found.text.strip() if isinstance(found, Scalar) else ""


def _named(entries: list[Entries]) -> dict[str, str]:
    """The id by each name; a name that two have tells nothing."""
    found: dict[str, dict[str, None]] = {}
    for entry in entries:
        name = entry.get("name")
        texts = [part for _, part in name.entries] if isinstance(name, Entries) else [name]
        for text in texts:
            if isinstance(text, Scalar) and tidied(text.text):
                found.setdefault(tidied(text.text), {})[_text(entry, "id")] = None
    return {name: next(iter(ids)) for name, ids in found.items() if len(ids) == 1}


def _grouped(entries: list[Entries], key: str) -> dict[str, tuple[str, ...]]:
    made: dict[str, tuple[str, ...]] = {}
    for entry in entries:
        made[_text(entry, key)] = (*made.get(_text(entry, key), ()), _text(entry, "id"))
    return made
