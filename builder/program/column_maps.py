"""Column maps: what a user's own column heads and words mean."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fnmatch import fnmatchcase

from builder.base.nearest import near
from builder.base.where import Given, Where
from builder.load.nodes import Items, Node, Scalar
from builder.program.clock_times import Clock, form_of, zone_of
from builder.program.faults import Faults
from builder.program.reading import Fields

UNIT_FIELDS = ("id", "model", "serial", "state", "area", "pool", "cylinder", "holder", "note")
LAST, FITTED, SENSOR_SERIAL = "last", "fitted", "sensor-serial"
GROUPS = (LAST, FITTED, SENSOR_SERIAL)
"""Fields of an inventory that come once a check or a sensor: ``last.calibration``, ``fitted.h2s-cell``."""
RECORD_FIELDS = (
    "unit",
    "time",
    "kind",
    "sensor",
    "part",
    "cylinder",
    "as-found",
    "as-left",
    "seconds",
    "result",
    "by",
    "setting",
    "value",
    "order",
    "note",
)
MOVEMENT_FIELDS = ("unit", "from", "to", "state", "holder", "area", "certificate", "note")
SETTING_FIELDS = ("unit", "read-on", "sensor", "name", "value")
SIGNS = ("point", "comma")
IDS = ("as-written", "made")


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnMap:
    """What the columns of some tables mean."""

    files: tuple[Given[str], ...]
    """Names in the folder, ``*`` and ``?`` standing for anything; empty for an inventory."""
    columns: Mapping[str, Given[str]]
    """Head by field."""
    values: Mapping[str, Mapping[str, str]]
    """By field, the builder's word by the user's."""
    ignore: tuple[str, ...]
    """Heads that mean nothing here."""
    sheet: str | None
    clock: Clock
    decimal_comma: bool
    makes_ids: bool
    """Whether ids of units are made of what is written: anything but letters and digits becomes a hyphen."""
    where: Where

    def holds_for(self, file: str) -> bool:
        """Whether the map is that of a file, given as a path below the content folder."""
        name = file.rpartition("/")[2]
        return not self.files or any(fnmatchcase(name, given.value) for given in self.files)


@dataclass(frozen=True, slots=True, kw_only=True)
class Maps:
    """Everything of ``maps.yaml``."""

    inventory: ColumnMap | None = None
    records: tuple[ColumnMap, ...] = ()
    readback: tuple[ColumnMap, ...] = ()
    movements: tuple[ColumnMap, ...] = ()
    sound: bool = True
    """False when the file holds a fault: what it says cannot be used to read tables."""


def map_for(file: str, maps: tuple[ColumnMap, ...], faults: Faults) -> ColumnMap | None:
    """The one map of a file, or ``None`` where it has the plain heads."""
    found = [each for each in maps if each.holds_for(file)]
    for second in found[1:]:
        faults.add(second.where, f"a second map for {file} (first at {found[0].where})", "one map a file")
    return found[0] if found else None


def read_maps(node: Node | None, faults: Faults) -> Maps:
    """All column maps; none where the site has no such file."""
    if node is None:
        return Maps()
    before = len(faults.problems)
    root = Fields(node, faults, "maps.yaml")
    part = root.maybe_inner("inventory", "inventory map")
    inventory = _map(part, UNIT_FIELDS, inventory=True) if part is not None else None
    records = tuple(_map(fields, RECORD_FIELDS) for fields in root.records("records", "record map", required=False))
    readback = tuple(_map(fields, SETTING_FIELDS) for fields in root.records("readback", "map", required=False))
    movements = tuple(_map(fields, MOVEMENT_FIELDS) for fields in root.records("movements", "map", required=False))
    root.close()
    sound = len(faults.problems) == before
    return Maps(inventory=inventory, records=records, readback=readback, movements=movements, sound=sound)


def _map(fields: Fields, known: tuple[str, ...], *, inventory: bool = False) -> ColumnMap:
    sheet = fields.maybe_text("sheet") if inventory else None
    columns = _columns(fields, known, inventory=inventory)
    ignore = tuple(" ".join(given.value.split()) for given in fields.texts("ignore"))
    for field, head in columns.items():
        if head.value in ignore:
            fields.faults.add(head.where, f"head {head.text!r} of {field} is ignored too", "one of the two")
    made = ColumnMap(
        files=() if inventory else _files(fields),
        columns=columns,
        values=_values(fields, known, inventory=inventory),
        ignore=ignore,
        sheet=sheet.value if sheet else None,
        clock=_clock(fields),
        decimal_comma=fields.choice("decimal", SIGNS, SIGNS[0]).value == "comma",
        makes_ids=inventory and fields.choice("ids", IDS, IDS[0]).value == "made",
        where=fields.where,
    )
    fields.close()
    return made


def _files(fields: Fields) -> tuple[Given[str], ...]:
    node = fields.take("files")
    return fields.texts("files", required=True) if isinstance(node, Items) else (fields.text("files"),)


def _clock(fields: Fields) -> Clock:
    form, zone = fields.maybe_text("time-format"), fields.maybe_text("zone")
    return Clock(
        form=form_of(form, fields.faults) if form else "",
        zone=zone_of(zone, fields.faults) if zone else None,
    )


def is_field(name: str, known: tuple[str, ...], *, inventory: bool) -> bool:
    """Whether a name is that of a field of such a table."""
    group, dot, rest = name.partition(".")
    return name in known or (inventory and bool(dot and rest) and group in GROUPS)


def _judge_field(key: Scalar, known: tuple[str, ...], faults: Faults, *, inventory: bool) -> None:
    if not is_field(key.text, known, inventory=inventory):
        groups = [f"{group}.ID" for group in GROUPS] if inventory else []
        faults.add(key.where, f"unknown field {key.text!r}", ", ".join([*known, *groups]), near(key.text, known))


def _columns(fields: Fields, known: tuple[str, ...], *, inventory: bool) -> dict[str, Given[str]]:
    made: dict[str, Given[str]] = {}
    for key, node in fields.pairs("columns"):
        _judge_field(key, known, fields.faults, inventory=inventory)
        if not isinstance(node, Scalar) or not node.text.strip():
            fields.faults.add(node.where, f"no column head for {key.text!r}", "the head as it stands in the file")
            continue
        head = " ".join(node.text.split())
        twice = next((name for name, given in made.items() if given.value == head), None)
        if twice:
            fields.faults.add(node.where, f"head {head!r} for both {twice} and {key.text}", "a head for each field")
        made[key.text] = Given(head, node.where, node.text)
    return made


def _values(fields: Fields, known: tuple[str, ...], *, inventory: bool) -> dict[str, dict[str, str]]:
    part = fields.maybe_inner("values", "values")
    if part is None:
        return {}
    made: dict[str, dict[str, str]] = {}
    for key, _ in part.node.entries:
        _judge_field(key, known, fields.faults, inventory=inventory)
        words = made.setdefault(key.text, {})
        for word, node in part.pairs(key.text):
            if isinstance(node, Scalar):
                words[word.text.strip()] = node.text.strip()
            else:
                fields.faults.add(node.where, f"a collection for the word {word.text!r}", "one word of the builder")
    return made
