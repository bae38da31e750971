"""Column maps: what a user's own column heads and words mean."""

from collections.abc import Iterable, Iterator, Mapping
from fnmatch import fnmatchcase
from functools import partial
from typing import Final

from builder.base.nearest import near
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Items, Node, Scalar
from builder.load.shape import ENCODINGS, SEPARATORS, Shape
from builder.program.clock_times import Clock, form_of, zone_of
from builder.program.faults import Faults
from builder.program.inventory import STATES
from builder.program.reading import Fields
from builder.program.records import RECORD_KINDS, RESULTS
from builder.program.table_kinds import INVENTORY, LAST, MOVEMENTS, READBACK, RECORDS, STATION_LOG, TableKind
from builder.program.trade_words import TO_COME, has_word_of
from builder.program.values import single

OF_ONE_SENSOR = ("sensor", "as-found", "as-left")
"""Fields that a record has once a row unless each sensor has columns of its own."""
STATION_ROWS = ("test", "leak-test", "bottle", "software")
"""What a row of a station's own log tells: a unit tested, a leak test, a bottle joined, software loaded."""
SIGNS = ("point", "comma")
IDS = ("as-written", "made")
HEAD_ROWS = ("1", "2")
MERGED = ("refused", "each")
WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "kind": RECORD_KINDS,
    "result": RESULTS,
    "state": STATES,
    "what": STATION_ROWS,
}
"""Fields that have one of few words."""
MOST_ABOVE = 1000
"""Rows that may stand above the heads."""


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
    joined: Mapping[str, tuple[Given[str], ...]]
    """Heads of a time that stands in several columns, in the order in which its parts are read."""
    constants: Mapping[str, Given[str]]
    """By field, what it is in every row."""
    sheets: tuple[str, ...]
    """Sheets of a workbook; none where it need not be said."""
    footers: tuple[str, ...]
    """How rows begin that are no rows: totals, signatures."""
    shape: Shape
    """The form of the file, without its sheet."""
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
    station_log: tuple[ColumnMap, ...] = ()
    sound: bool = True
    """False when the file holds a fault: what it says cannot be used to read tables."""

    @property
    def by_folder(self) -> dict[str, tuple[ColumnMap, ...]]:
        """The maps of tables that come in numbers, by their folder."""
        return {"records": self.records, "readback": self.readback, "movements": self.movements,
                "station-log": self.station_log}  # fmt: skip

    def idle(self, tables: Iterable[str]) -> Iterator[Given[str]]:
        """The files, as a path, of each map of the site's own that holds for none of these tables."""
        for folder, maps in self.by_folder.items():
            there = [file for file in tables if file.startswith(f"{folder}/")]
            for one in maps:
                where = one.files[0].where if one.files else one.where
                if where.file == "maps.yaml" and not any(map(one.holds_for, there)):
                    names = " or ".join(given.value for given in one.files)
                    yield Given(f"{folder}/{names}", where, names)


def maps_for(file: str, maps: tuple[ColumnMap, ...], faults: Faults) -> tuple[ColumnMap, ...]:
    """The map of a file, or those of its sheets; none where it has the plain heads."""
    kept: list[ColumnMap] = []
    for each in maps:
        if not each.holds_for(file):
            continue
        rival = next((one for one in kept if not set(one.sheets).isdisjoint(each.sheets) or not one.sheets), None)
        if rival or (kept and not each.sheets):
            found = f"a second map for {file} (first at {(rival or kept[0]).where})"
            faults.twice(each.where, found, "one map a file, or one a sheet")
        else:
            kept.append(each)
    return tuple(kept)


def read_maps(node: Node | None, faults: Faults) -> Maps:
    """All column maps; none where the site has no such file."""
    if node is None:
        return Maps()
    before = len(faults.problems)
    root = Fields(node, faults, "maps.yaml")
    inventory = root.maybe_part("inventory", partial(_map, kind=INVENTORY), "inventory map")
    records = root.parts("records", "record map", partial(_map, kind=RECORDS), required=False)
    readback = root.parts("readback", "map", partial(_map, kind=READBACK), required=False)
    movements = root.parts("movements", "map", partial(_map, kind=MOVEMENTS), required=False)
    stations = root.parts("station-log", "map", partial(_map, kind=STATION_LOG), required=False)
    root.close()
    sound = len(faults.problems) == before
    return Maps(inventory=inventory, records=records, readback=readback, movements=movements, station_log=stations,
                sound=sound)  # fmt: skip


def _map(fields: Fields, kind: TableKind) -> ColumnMap:
    inventory = kind is INVENTORY
    columns, joined = _columns(fields, kind)
    constants = _constants(fields, kind, {*columns, *joined})
    ignore = tuple(" ".join(given.value.split()) for given in fields.texts("ignore"))
    heads = [(name, head) for name, given in ({n: (g,) for n, g in columns.items()} | joined).items() for head in given]
    for n, (field, head) in enumerate(heads):
        if head.value in ignore:
            fields.faults.add(head.where, f"head {head.text!r} of {field} is ignored too", "one of the two")
        if field.startswith(f"{LAST}.") and has_word_of(TO_COME, head.value):
            found = f"head {head.text!r} for {field}, the day on which a check was done"
            fields.faults.add(head.where, found, "the head of that day; when a check falls due is worked out here")
        twice = next((name for name, given in heads[:n] if given.value == head.value), None)
        if twice:
            fields.faults.twice(
                head.where, f"head {head.value!r} for both {twice} and {field}", "a head for each field"
            )
    footers = tuple(given.value.casefold() for given in fields.texts("footers"))
    return ColumnMap(
        files=() if inventory else _one_or_more(fields, "files"),
        columns=columns,
        joined=joined,
        constants=constants,
        values=_values(fields, kind),
        ignore=ignore,
        sheets=tuple(given.value for given in _one_or_more(fields, "sheet", several=not inventory))
        if "sheet" in fields
        else (),
        footers=footers,
        shape=_shape(fields, frozenset(head.value for _, head in heads), footers),
        clock=_clock(fields),
        decimal_comma=fields.choice("decimal", SIGNS, SIGNS[0]).value == "comma",
        makes_ids=inventory and fields.choice("ids", IDS, IDS[0]).value == "made",
        where=fields.where,
    )


def _shape(fields: Fields, wanted: frozenset[str], footers: tuple[str, ...]) -> Shape:
    line = fields.maybe_whole("heads", least=1)
    if line and line.value > MOST_ABOVE:
        fields.faults.range(line.where, f"heads in row {line.value}", f"a row up to {MOST_ABOVE}")
    two = fields.choice("head-rows", HEAD_ROWS, HEAD_ROWS[0]).value == HEAD_ROWS[1]
    if two and (line is None or line.value == 1):
        fields.faults.lacks(fields.where_of("head-rows"), "head-rows: 2 without heads", "heads: the lower of both rows")
    return Shape(
        line=line.value if line else 0,
        two_rows=two,
        fills_merged=fields.choice("merged", MERGED, MERGED[0]).value == "each",
        wanted=wanted,
        footers=footers,
        encoding=fields.choice("encoding", ENCODINGS, "").value,
        separator=fields.choice("separator", SEPARATORS, "").value,
    )


def _constants(fields: Fields, kind: TableKind, mapped: set[str]) -> dict[str, Given[str]]:
    made: dict[str, Given[str]] = {}
    for key, node in fields.pairs("constants"):
        _judge_field(key, kind, fields.faults)
        if not isinstance(node, Scalar) or not node.text.strip():
            fields.faults.lacks(node.where, f"no value for {key.text!r} in every row", "one value")
            continue
        made[key.text] = Given(node.text.strip(), node.where, node.text)
        words = WORDS.get(key.text, (node.text.strip(),))
        if node.text.strip() not in words:
            close = near(node.text, words)
            fields.faults.choice(node.where, f"{node.text!r} for {key.text!r}", "one of " + ", ".join(words), close)
        if key.text in mapped:
            fields.faults.twice(key.where, f"a column and a constant for {key.text!r}", "one of the two")
    return made


def _one_or_more(fields: Fields, key: str, *, several: bool = True) -> tuple[Given[str], ...]:
    node = fields.take(key)
    return fields.texts(key, required=True) if several and isinstance(node, Items) else (fields.text(key),)


def _clock(fields: Fields) -> Clock:
    form, zone = fields.maybe_text("time-format"), fields.maybe_text("zone")
    return Clock(form=form_of(form, fields.faults) if form else "", zone=zone_of(zone, fields.faults) if zone else None)


def _judge_field(key: Scalar, kind: TableKind, faults: Faults) -> None:
    if not kind.has(key.text):
        allowed = ", ".join([*kind.written, *(f"SENSOR.{name}" for name in kind.per_sensor)])
        faults.key(key.where, f"unknown field {key.text!r}", allowed, near(key.text, kind.fields))


def _columns(fields: Fields, kind: TableKind) -> tuple[dict[str, Given[str]], dict[str, tuple[Given[str], ...]]]:
    """The head of each field, and the heads of those that are joined."""
    made: dict[str, Given[str]] = {}
    joined: dict[str, tuple[Given[str], ...]] = {}
    for key, node in fields.pairs("columns"):
        _judge_field(key, kind, fields.faults)
        if isinstance(node, Items) and key.text in kind.times and len(node.items) > 1:
            joined[key.text] = tuple(_head(key, item, kind, fields.faults) for item in node.items)
        else:
            made[key.text] = _head(key, node, kind, fields.faults)
    return made, joined


def _head(key: Scalar, node: Node, kind: TableKind, faults: Faults) -> Given[str]:
    if not isinstance(node, Scalar) or not node.text.strip():
        several = ", or a list of several for a time" if key.text in kind.times else ""
        faults.lacks(node.where, f"no column head for {key.text!r}", f"the head as it stands in the file{several}")
        return Given(f"?{key.text}", node.where, "")
    return Given(" ".join(node.text.split()), node.where, node.text)


def _values(fields: Fields, kind: TableKind) -> dict[str, dict[str, str]]:
    part = fields.maybe_inner("values", "values")
    if part is None:
        return {}
    made: dict[str, dict[str, str]] = {}
    for key, _ in part.node.entries:
        _judge_field(key, kind, fields.faults)
        words = made.setdefault(key.text, {})
        for word, node in part.pairs(key.text):
            own = single(node, fields.faults, f"the word {word.text!r}", "one word of the builder")
            if own:
                words[word.text.strip()] = own.text.strip()
    return made
