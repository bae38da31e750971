"""What a site calls its own things, as far as its files can be read: words of a new table may stand for them."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field

from builder.base.quantity import NUMBER
from builder.base.record import dataclass
from builder.load.content import Documents
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.program.markings import made_id
from builder.program.trade_words import meaning_of, tidied

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
    units: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """The units that models show each sensor, and each channel, in."""
    names: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """By field, the id by each tidied name in any language."""

    def of_channel(self, channel: str) -> tuple[str, ...]:
        """The sensor of a channel; the channel where there are several: the model of each unit tells which it has."""
        found = self.sensors.get(channel, ())
        return (channel,) if len(found) > 1 else found


def known_words(documents: Documents) -> KnownWords:
    """The ids in the files of a content folder, judged by nobody."""
    found = {what: list(_entries(documents.structured.get(file), what)) for file, what in OF_FILES.items()}
    calendar = documents.structured.get("calendar.yaml")
    return KnownWords(
        zone=_text(calendar, "zone"),
        checks=_grouped(found["checks"], "kind"),
        sensors=_grouped(found["sensors"], "channel"),
        ids={name: tuple(_text(entry, "id") for entry in found[what]) for name, what in OF_FIELDS.items()},
        units=_units(found["models"], _grouped(found["sensors"], "channel")),
        names={name: _named(found[what]) for name, what in OF_FIELDS.items()},
    )


def builders_words(name: str, word: str, words: Sequence[str], known: KnownWords) -> tuple[str, ...]:
    """Every word of the builder or the site that a word may stand for."""
    if word in words:
        return (word,)
    if "?" in word or not (word[:1].isalnum() or word[:1] == "%"):  # a doubt, or a mark that may turn it round: !OK
        return ()
    if made_id(word).lower() in words:
        return (made_id(word).lower(),)
    named = known.names.get(name, {}).get(tidied(word))
    if named:
        return (named,)
    meaning = meaning_of(name, word)
    if name == "sensor":
        return known.of_channel(meaning)
    return (meaning,) if meaning else ()


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


def _units(models: list[Entries], channels: Mapping[str, tuple[str, ...]]) -> dict[str, frozenset[str]]:
    made: dict[str, frozenset[str]] = {}
    for part in (part for model in models for part in _entries(model, "positions")):
        unit = NUMBER.sub("", _text(part, "full-scale"), count=1).strip()
        made[_text(part, "sensor")] = made.get(_text(part, "sensor"), frozenset()) | {unit}
    return {channel: frozenset().union(*(made.get(one, ()) for one in ids)) for channel, ids in channels.items()} | made


def _grouped(entries: list[Entries], key: str) -> dict[str, tuple[str, ...]]:
    made: dict[str, tuple[str, ...]] = {}
    for entry in entries:
        made[_text(entry, key)] = (*made.get(_text(entry, key), ()), _text(entry, "id"))
    return made
