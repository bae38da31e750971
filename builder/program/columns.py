"""Where the fields of a table stand, and its rows under the builder's own names."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from builder.base.errors import ContentError, refusal
from builder.base.fault_kinds import Kind
from builder.base.nearest import near
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.rows import TableRows
from builder.load.shape import PLAIN
from builder.load.tables import SourceTable
from builder.program.clock_times import Clock
from builder.program.column_maps import OF_ONE_SENSOR, ColumnMap, maps_for
from builder.program.faults import Faults
from builder.program.markings import made_id
from builder.program.table_kinds import FITTED, INVENTORY, LAST, SENSOR_SERIAL, TableKind

SPELLED = {"unit": "unit", "cylinder": "cylinder", "by": "person", "holder": "person"}
"""Fields of tables that hold what is marked on a thing, or who did something; and what each is the id of."""
UNIT_DAYS = ("since", "battery")
"""Fields of an inventory that are days."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Where each field of a table stands."""

    places: Mapping[str, int]
    joined: Mapping[str, tuple[int, ...]]
    """Where the parts of a field stand that has several columns."""
    constants: Mapping[str, str]
    """What a field is in every row."""
    words: Mapping[str, Mapping[str, str]]
    """By field, the builder's word by the user's."""
    ids: Mapping[str, Mapping[str, str]]
    """By field, the id by whatever spelling of it."""

    def fields(self, cells: list[str]) -> dict[str, str]:
        """The values of a row that has any, in the builder's words."""
        made = dict(self.constants)
        for name, several in self.joined.items():
            text = " ".join(cells[place] for place in several if cells[place])
            if text:
                made[name] = text
        for name, place in self.places.items():
            text = cells[place]
            own = name.rpartition(".")[2]
            words = self.words.get(own)
            if words:
                text = words.get(text, text)
            if text:
                ids = self.ids.get(own)
                made[name] = ids[text] if ids is not None else text
        return made

    def written(self, cells: list[str]) -> dict[str, str]:
        """The author's own spelling of every field that may be spelled otherwise than here."""
        return {name: cells[self.places[name]] for name in (*self.words, *self.ids) if name in self.places}


@dataclass(frozen=True, slots=True)
class OpenTable:
    """A sheet, or a file that has no sheets: what its map says, where its fields stand, and its rows."""

    mapped: ColumnMap | None
    columns: Columns
    rows: TableRows
    needed: tuple[str, ...]
    """Fields that every row has."""
    only_commas: bool
    """Whether a number with a point is refused: it could be parted in thousands. A workbook's own numbers have one."""

    @property
    def clock(self) -> Clock:
        """How its times are written."""
        return self.mapped.clock if self.mapped else Clock()

    @property
    def decimal_comma(self) -> bool:
        """Whether numbers have a comma where others have a point."""
        return self.mapped is not None and self.mapped.decimal_comma

    def body(self) -> Iterator[tuple[Where, dict[str, str], dict[str, str]]]:
        """Of each row its place, its values in the builder's words, how they are written; what it lacks is noted."""
        for line, cells in self.rows.body:
            fields = self.columns.fields(cells)
            lacks = [name for name in self.needed if name not in fields]
            if lacks and is_footer(cells, fields, self.mapped, self.needed):
                continue
            for name in lacks:
                self.rows.faults.lacks(line, f"no {name}", f"{name} in every row")
            if not lacks:
                yield Where(self.rows.file, line), fields, self.columns.written(cells)


def is_footer(
    cells: Sequence[str], fields: Mapping[str, str], mapped: ColumnMap | None, needed: tuple[str, ...]
) -> bool:
    """Whether a row begins as the map says that totals and signatures do, and lacks what every other row has."""
    if mapped is None or not mapped.footers or all(name in fields for name in needed):
        return False
    return next(filter(None, cells), "").casefold().startswith(mapped.footers)


def open_tables(
    tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], kind: TableKind, faults: Faults
) -> Iterator[OpenTable]:
    """Every sheet of every table that can be read; faults of its rows are noted once they were gone through."""
    for table in tables:
        found = maps_for(table.file, maps, faults)
        sheets: list[tuple[ColumnMap | None, str]] = [(one, sheet) for one in found for sheet in one.sheets or ("",)]
        sheets = sheets or [(None, "")]
        for mapped, sheet in sheets:
            name = f"{table.file}#{sheet}" if len(sheets) > 1 else table.file
            rows = table_rows(table, mapped, faults, sheet, name, one_sheet=True)
            others = [given.value for one in maps for given in one.files]
            columns = columns_of(rows, kind, mapped, faults, others) if rows else None
            if rows is not None and columns is not None:
                only_commas = mapped is not None and mapped.decimal_comma and not table.is_workbook
                yield OpenTable(mapped, columns, rows, kind.needed, only_commas)
                faults.problems.extend(rows.faults.problems())


def table_rows(
    table: SourceTable,
    mapped: ColumnMap | None,
    faults: Faults,
    sheet: str = "",
    name: str = "",
    *,
    one_sheet: bool = False,
) -> TableRows | None:
    """The rows of a table, or of one sheet of it; ``None`` where they cannot be read, which is noted.

    :param one_sheet: whether a workbook of several sheets is refused where none is named.
    """
    if sheet and not table.is_workbook:
        faults.unknown(Where(table.file, 1), f"no workbook, and so no sheet {sheet!r}", "a map without sheet")
        return None
    try:
        if one_sheet and not sheet:
            _require_sheet(table)
        return table.rows(replace(mapped.shape if mapped else PLAIN, sheet=sheet), name)
    except ContentError as error:
        faults.problems.extend(error.problems)
        return None


def unread_sheets(tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...]) -> Iterator[Given[str]]:
    """Sheets with rows under all heads of a map of their workbook that does not name them."""
    for table in (one for one in tables if one.is_workbook):
        found = [one for one in maps if one.holds_for(table.file) and one.sheets and one.shape.wanted]
        named = {sheet for one in found for sheet in one.sheets}
        for sheet in (name for name in table.sheets() if found and name not in named):
            alike = next((one for one in found if _has_rows_of(table, one, sheet)), None)
            if alike is not None:
                yield Given(f"{table.file}#{sheet}", alike.where, sheet)


def _has_rows_of(table: SourceTable, mapped: ColumnMap, sheet: str) -> bool:
    try:
        rows = table.rows(replace(mapped.shape, sheet=sheet))
    except ContentError:
        return False
    return mapped.shape.wanted <= set(rows.head) and next(rows.body, None) is not None


def _require_sheet(table: SourceTable) -> None:
    """Refuse to pick one of several sheets.

    :raises ContentError: when there are several.
    """
    sheets = table.sheets()
    if len(sheets) > 1:
        found = f"a workbook with the sheets {', '.join(sheets)}, and no word which"
        raise refusal(Kind.TABLE_FORM, Where(table.file, 1), found, "sheet: in maps.yaml, a name or a list of names")


def columns_of(
    rows: TableRows, kind: TableKind, mapped: ColumnMap | None, faults: Faults, others: Sequence[str] = ()
) -> Columns | None:
    """The places of the fields; ``None`` when heads are missing or mean nothing, which is noted.

    :param others: names of files that there are maps for.
    """
    where = Where(rows.file, rows.line)
    before = len(faults.problems)
    heads = {given.value: name for name, given in mapped.columns.items()} if mapped else {}
    parts = {given.value: name for name, several in mapped.joined.items() for given in several} if mapped else {}
    constants = {name: given.value for name, given in mapped.constants.items()} if mapped else {}
    elsewhere = {*heads.values(), *parts.values(), *constants}
    ignored = mapped.ignore if mapped else ()
    places: dict[str, int] = {}
    for place, head in enumerate(rows.head):
        plain = kind.has(head) and head not in elsewhere
        if head in parts:
            continue
        if head in heads:
            places[heads[head]] = place
        elif plain and head not in ignored:
            places[head] = place
        elif head not in ignored:
            known = "a column that maps.yaml names, or lists under ignore"
            if mapped is None and others:
                known = f"a map in maps.yaml for a file of this name (there are maps for {', '.join(others)})"
            allowed = f"{known}; or one of " + ", ".join(kind.written)
            faults.form(where, f"column {head!r} means nothing here", allowed, near(head, kind.fields))
    for head, name in (heads | parts).items():
        if head not in rows.head:
            faults.form(where, f"no column {head!r}, which maps.yaml has for {name}", "", near(head, rows.head))
    for name in kind.needed:
        if name not in places and name not in elsewhere:
            faults.form(where, f"no column {name!r}", "that head, or another named in maps.yaml")
    wide = next((name for name in places if "." in name and not kind.groups), None)
    for name in OF_ONE_SENSOR:
        if wide and (name in places or name in elsewhere):
            faults.add(where, f"a column for {wide} and one for {name}", "columns of all sensors, or of each")
    if len(faults.problems) > before:
        return None
    joined = {
        name: tuple(rows.head.index(given.value) for given in several)
        for name, several in (mapped.joined.items() if mapped else ())
    }
    ids = {name: faults.spellings(kind) for name, kind in SPELLED.items() if name in places or name in constants}
    constants = {name: ids[name][text] if name in ids else text for name, text in constants.items()}
    return Columns(places, joined, constants, mapped.values if mapped else {}, ids)


def inventory_nodes(table: SourceTable, mapped: ColumnMap | None, faults: Faults) -> Items | None:
    """An inventory table as the list of mappings that a YAML inventory is; ``None`` where it cannot be read."""
    rows = table_rows(table, mapped, faults, *(mapped.sheets if mapped else ()))
    if rows is None:
        return None
    columns = columns_of(rows, INVENTORY, mapped, faults)
    if columns is None:
        return None
    form = mapped.clock.form if mapped else ""
    makes_ids = mapped is not None and mapped.makes_ids
    read = ((line, cells, columns.fields(cells)) for line, cells in rows.body)
    made = tuple(
        _unit_node(
            fields | {"id": made_id(fields["id"])} if makes_ids and "id" in fields else fields,
            Where(rows.file, line),
            form,
        )
        for line, cells, fields in read
        if not is_footer(cells, fields, mapped, INVENTORY.needed)
    )
    faults.problems.extend(rows.faults.problems())
    return Items(made, Where(rows.file, rows.line))


def _unit_node(fields: Mapping[str, str], where: Where, form: str) -> Entries:
    """A unit as YAML would have it, with what is said of its checks and sensors gathered under them."""
    unit: dict[str, Node] = {}
    grouped: dict[str, dict[str, Node]] = {group: {} for group in INVENTORY.groups}
    for name, text in fields.items():
        group, _, of = name.partition(".")
        is_day = name in UNIT_DAYS or group in (LAST, FITTED)
        grouped.get(group, unit)[of or name] = Scalar(_day_text(text, form) if is_day else text, where)
    if grouped[LAST]:
        unit[LAST] = _mapping(grouped[LAST], where)
    sensors: dict[str, dict[str, Node]] = {}
    for key, group in (("fitted", FITTED), ("serial", SENSOR_SERIAL)):
        for sensor, node in grouped[group].items():
            sensors.setdefault(sensor, {"sensor": Scalar(sensor, where)})[key] = node
    if sensors:
        unit["sensors"] = Items(tuple(_mapping(one, where) for one in sensors.values()), where)
    return _mapping(unit, where)


def _mapping(entries: Mapping[str, Node], where: Where) -> Entries:
    return Entries(tuple((Scalar(name, where), node) for name, node in entries.items()), where)


def _day_text(text: str, form: str) -> str:
    """A day as ISO 8601 where it is written in the map's format; else as it is."""
    try:
        return datetime.strptime(text, form).date().isoformat() if form else text  # noqa: DTZ007 - a day only
    except ValueError:
        return text
