"""Where the fields of a table stand, and its rows under the builder's own names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from builder.base.errors import ContentError
from builder.base.nearest import near
from builder.base.where import Where
from builder.load.nodes import Entries, Items, Node, Scalar
from builder.load.rows import TableRows
from builder.load.tables import SourceTable
from builder.program.column_maps import FITTED, GROUPS, LAST, SENSOR_SERIAL, UNIT_FIELDS, ColumnMap, is_field
from builder.program.faults import Faults
from builder.program.markings import made_id

SPELLED = {"unit": "unit", "cylinder": "cylinder", "by": "person", "holder": "person"}
"""Fields of tables that hold what is marked on a thing, or who did something; and what each is the id of."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Where each field of a table stands."""

    places: Mapping[str, int]
    words: Mapping[str, Mapping[str, str]]
    """By field, the builder's word by the user's."""
    ids: Mapping[str, Mapping[str, str]]
    """By field, the id by whatever spelling of it."""

    def fields(self, cells: list[str]) -> dict[str, str]:
        """The values of a row that has any, in the builder's words."""
        made: dict[str, str] = {}
        for name, place in self.places.items():
            text = cells[place]
            words = self.words.get(name)
            if words:
                text = words.get(text, text)
            if text:
                ids = self.ids.get(name)
                made[name] = ids[text] if ids is not None else text
        return made

    def written(self, cells: list[str]) -> dict[str, str]:
        """The author's own spelling of every field that may be spelled otherwise than here."""
        return {name: cells[self.places[name]] for name in (*self.words, *self.ids) if name in self.places}


def table_rows(table: SourceTable, mapped: ColumnMap | None, faults: Faults) -> TableRows | None:
    """The rows of a table, or ``None`` where they cannot be read; that is noted."""
    try:
        return table.rows(mapped.sheet if mapped else None)
    except ContentError as error:
        faults.problems.extend(error.problems)
        return None


def columns_of(
    rows: TableRows,
    known: tuple[str, ...],
    needed: tuple[str, ...],
    mapped: ColumnMap | None,
    faults: Faults,
    *,
    inventory: bool = False,
) -> Columns | None:
    """The places of the fields; ``None`` when heads are missing or mean nothing, which is noted."""
    where = Where(rows.file, rows.line)
    before = len(faults.problems)
    names = ", ".join([*known, *(f"{group}.ID" for group in GROUPS if inventory)])
    heads = {given.value: name for name, given in mapped.columns.items()} if mapped else {}
    ignored = mapped.ignore if mapped else ()
    places: dict[str, int] = {}
    for place, head in enumerate(rows.head):
        plain = is_field(head, known, inventory=inventory) and not (mapped and head in mapped.columns)
        if head in heads:
            places[heads[head]] = place
        elif plain and head not in ignored:
            places[head] = place
        elif head not in ignored:
            allowed = "a column that maps.yaml names, or lists under ignore; or one of " + names
            faults.add(where, f"column {head!r} means nothing here", allowed, near(head, known))
    for head, name in heads.items():
        if head not in rows.head:
            faults.add(where, f"no column {head!r}, which maps.yaml has for {name}", "", near(head, rows.head))
    for name in needed:
        if name not in places and name not in heads.values():
            faults.add(where, f"no column {name!r}", "that head, or another named in maps.yaml")
    if len(faults.problems) > before:
        return None
    ids = {name: faults.spellings(kind) for name, kind in SPELLED.items() if name in places}
    return Columns(places, mapped.values if mapped else {}, ids)


def inventory_nodes(table: SourceTable, mapped: ColumnMap | None, faults: Faults) -> Items | None:
    """An inventory table as the list of mappings that a YAML inventory is; ``None`` where it cannot be read."""
    rows = table_rows(table, mapped, faults)
    if rows is None:
        return None
    columns = columns_of(rows, UNIT_FIELDS, ("id", "model", "serial"), mapped, faults, inventory=True)
    if columns is None:
        return None
    form = mapped.clock.form if mapped else ""
    makes_ids = mapped is not None and mapped.makes_ids
    made = tuple(
        _unit_node(_with_made_id(columns.fields(cells)) if makes_ids else columns.fields(cells), where, form)
        for where, cells in ((Where(rows.file, line), cells) for line, cells in rows.body)
    )
    faults.problems.extend(rows.faults.problems())
    return Items(made, Where(rows.file, rows.line))


def _with_made_id(fields: dict[str, str]) -> dict[str, str]:
    return fields | {"id": made_id(fields["id"])} if "id" in fields else fields


def _unit_node(fields: Mapping[str, str], where: Where, form: str) -> Entries:
    entries: list[tuple[Scalar, Node]] = [
        (Scalar(name, where), Scalar(text, where)) for name, text in fields.items() if "." not in name
    ]
    last = _pairs(fields, LAST, where, form)
    if last:
        entries.append((Scalar(LAST, where), Entries(tuple(last), where)))
    sensors = list(_sensor_nodes(fields, where, form))
    if sensors:
        entries.append((Scalar("sensors", where), Items(tuple(sensors), where)))
    return Entries(tuple(entries), where)


def _pairs(fields: Mapping[str, str], group: str, where: Where, form: str) -> list[tuple[Scalar, Scalar]]:
    return [
        (Scalar(name.partition(".")[2], where), Scalar(_day_text(text, form), where))
        for name, text in fields.items()
        if name.startswith(f"{group}.")
    ]


def _sensor_nodes(fields: Mapping[str, str], where: Where, form: str) -> Iterator[Entries]:
    fitted = {key.text: value for key, value in _pairs(fields, FITTED, where, form)}
    serials = {key.text: value for key, value in _pairs(fields, SENSOR_SERIAL, where, "")}
    for sensor in dict.fromkeys((*fitted, *serials)):
        parts: list[tuple[Scalar, Scalar]] = [(Scalar("sensor", where), Scalar(sensor, where))]
        parts += [(Scalar("fitted", where), fitted[sensor])] if sensor in fitted else []
        parts += [(Scalar("serial", where), serials[sensor])] if sensor in serials else []
        yield Entries(tuple(parts), where)


def _day_text(text: str, form: str) -> str:
    """A day as ISO 8601 where it is written in the map's format; else as it is."""
    try:
        return datetime.strptime(text, form).date().isoformat() if form else text  # noqa: DTZ007 - a day only
    except ValueError:
        return text
