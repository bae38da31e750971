"""Reads record files row by row; a row keeps nothing but what it says."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from fractions import Fraction
from functools import partial

from builder.base.nearest import near
from builder.base.quantity import NUMBER, QuantityError, magnitude, parse_number, parse_quantity, same_dimension
from builder.base.where import Where
from builder.load.tables import SourceTable
from builder.program.checks import OF_PARTS, WITH_GAS
from builder.program.clock_times import TimeError
from builder.program.column_maps import ColumnMap
from builder.program.columns import OpenTable, open_tables
from builder.program.faults import Faults
from builder.program.inventory import Unit
from builder.program.models import Model
from builder.program.records import RECORD_KINDS, RESULTS, Cell, Record
from builder.program.sensors import Sensor
from builder.program.settings_access import names_code
from builder.program.table_kinds import RECORDS
from builder.program.table_row import TableRow

CHANGED = "changed"
"""What a record may say of an access code."""
A_SENSOR = "a sensor of sensors.yaml, or a channel of which the unit's model has one"
MOST_KEPT = 20_000
"""Numbers, and times, of one file remembered by their text, since the same few come again and again."""


class Displays:
    """What a unit's display has: which sensor of a channel, and in which unit it shows it."""

    def __init__(self, units: Mapping[str, Unit], models: Mapping[str, Model], sensors: Mapping[str, Sensor]) -> None:
        self.sensors = tuple(sensors)
        self.parts = frozenset(part for model in models.values() for part in model.parts)
        self._models = {unit.id: unit.model.value for unit in units.values()}
        self._exact = {
            (model.id, part.sensor.value): part.unit for model in models.values() for part in model.positions
        }
        self._any = {sensor: unit for (_, sensor), unit in reversed(self._exact.items())}

        several = [((model, sensors[one].channel.value), one) for model, one in self._exact if one in sensors]
        count = Counter(key for key, _ in several)
        self._only = {key: one for key, one in several if count[key] == 1 and key[1] not in sensors}

    def with_sensor(self, fields: Mapping[str, str]) -> Mapping[str, str]:
        """A row in which the only sensor of a channel that the unit's model has stands for that channel."""
        sensor = self._only.get((self._models.get(fields["unit"], ""), fields.get("sensor", "")))
        return fields if sensor is None else {**fields, "sensor": sensor}

    def of(self, unit: str, sensor: str) -> str | None:
        """That of the unit's model, else of the first model with such a sensor, else ``None``."""
        return self._exact.get((self._models.get(unit, ""), sensor)) or self._any.get(sensor)


def read_records(
    tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], displays: Displays, faults: Faults
) -> tuple[Record, ...]:
    """Every record by time; those of one time in the order of files and rows."""
    made: list[Record] = []
    same: dict[tuple[str, str], Cell[str]] = {}
    for table in open_tables(tables, maps, RECORDS, faults):
        reader = _RecordReader(table, displays, same)
        for where, fields, written in table.body():
            records = (reader.record(part, written, where) for part in reader.by_sensor(fields, where.line))
            made += [record for record in records if record is not None]
    made.sort(key=lambda record: record.time.value)
    return tuple(made)


class _RecordReader:
    """Reads the rows of one file."""

    def __init__(self, table: OpenTable, displays: Displays, same: dict[tuple[str, str], Cell[str]]) -> None:
        self.table = table
        self.clock = table.clock
        self.comma = table.decimal_comma
        self.only_commas = table.only_commas
        self.displays = displays
        self.faults = table.rows.faults
        self.same = same
        self.is_wide = any("." in name for name in table.columns.places)
        self.numbers: dict[tuple[str, str | None], Cell[Fraction]] = {}
        self.times: dict[str, Cell[datetime]] = {}

    def by_sensor(self, fields: dict[str, str], line: int) -> Iterator[Mapping[str, str]]:
        """A row with columns for each sensor as a record for each that has anything there; any other row as it is.

        A row of a test with gas that has nothing in all of them would otherwise count for the whole unit.
        """
        if not self.is_wide:
            yield self.displays.with_sensor(fields)
            return
        sensors = dict.fromkeys(name.rpartition(".")[0] for name in fields if "." in name)
        common = {name: text for name, text in fields.items() if "." not in name}
        for sensor in sensors:
            own = {name: fields[f"{sensor}.{name}"] for name in RECORDS.per_sensor if f"{sensor}.{name}" in fields}
            yield self.displays.with_sensor(common | own | {"sensor": sensor})
        if not sensors and fields.get("kind") in WITH_GAS:
            self.faults.lacks(line, f"{fields['kind']} without anything of any sensor", "a value in one of its columns")
        elif not sensors:
            yield fields

    def record(self, fields: Mapping[str, str], written: Mapping[str, str], where: Where) -> Record | None:
        """One row, or ``None`` when it is malformed, which is noted."""
        before = self.faults.count
        time = self._time(fields["time"], where.line)
        if time is None:
            return None
        self._judge_words(TableRow(self.table, where, fields, written))
        take = partial(self._number, fields, where, self._unit(fields, where.line))
        as_found, as_left, seconds = take("as-found"), take("as-left"), self._number(fields, where, "s", "seconds")
        if self.faults.count > before:
            return None
        text = partial(self._text, fields, written)
        return Record(
            unit=_sure(text, "unit"),
            time=time,
            kind=_sure(text, "kind"),
            sensor=text("sensor"),
            cylinder=text("cylinder"),
            as_found=as_found,
            as_left=as_left,
            seconds=seconds,
            result=text("result"),
            by=text("by"),
            note=fields.get("note", ""),
            where=where,
            part=text("part"),
            setting=text("setting"),
            value=text("value"),
            order=text("order"),
            shares_row=self.is_wide,
        )

    def _time(self, text: str, line: int) -> Cell[datetime] | None:
        found = self.times.get(text)
        if found is None:
            try:
                found = Cell(self.clock.read(text), text)
            except TimeError as error:
                self.faults.time(line, error.found, error.allowed)
                return None
            if len(self.times) < MOST_KEPT:
                self.times[text] = found
        return found

    def _text(self, fields: Mapping[str, str], written: Mapping[str, str], name: str) -> Cell[str] | None:
        text = fields.get(name)
        if text is None:
            return None
        said = text, written.get(name, text)
        found = self.same.get(said)
        if found is None:
            found = self.same[said] = Cell(*said)
        return found

    def _judge_words(self, row: TableRow) -> None:
        fields, line = row.fields, row.where.line
        kind = fields["kind"]
        row.judge_word("kind", RECORD_KINDS)
        row.judge_word("result", RESULTS)
        row.judge_id("sensor", self.displays.sensors, A_SENSOR)
        if kind == "sensor-change" and "sensor" not in fields:
            self.faults.lacks(line, "sensor-change without sensor", "the sensor that was changed")
        changed = kind == "setting-change"
        if changed and not {"setting", "value"} <= fields.keys():
            self.faults.lacks(line, "setting-change without setting and value", "which setting, and what it is now")
        if changed and names_code(fields.get("setting", "")) and fields.get("value") != CHANGED:
            self.faults.add(line, "an access code in a record", f"value: {CHANGED}, never the code itself")
        if not changed and kind in RECORD_KINDS and {"setting", "value", "order"} & fields.keys():
            allowed = "a record of setting-change"
            self.faults.add(line, f"setting, value or order on a record of kind {kind!r}", allowed)
        part = fields.get("part")
        if kind == "replacement" and part is None:
            self.faults.lacks(line, "replacement without part", "the part that was replaced")
        if part is not None and kind not in OF_PARTS and kind in RECORD_KINDS:
            self.faults.add(line, f"part on a record of kind {kind!r}", "a record of " + " or ".join(OF_PARTS))
        parts = self.displays.parts
        if part is not None and part not in parts:
            allowed = "one of " + ", ".join(sorted(parts)) if parts else "a part that a model of models.yaml has"
            self.faults.unknown(line, f"unknown part {part!r}", allowed, near(part, parts))

    def _unit(self, fields: Mapping[str, str], line: int) -> str | None:
        """The unit readings are in; a reading without sensor is of nothing."""
        sensor = fields.get("sensor")
        if sensor is not None:
            return self.displays.of(fields["unit"], sensor)
        for name in ("as-found", "as-left"):
            if name in fields:
                self.faults.lacks(line, f"{name} without sensor", "the sensor that showed it")
        return None

    def _number(self, fields: Mapping[str, str], where: Where, unit: str | None, name: str) -> Cell[Fraction] | None:
        text = fields.get(name)
        if text is None:
            return None
        if self.only_commas and "." in text:
            self.faults.number(
                where.line, f"{name}: {text!r}, where maps.yaml has decimal: comma", "a number such as 19,5"
            )
            return None
        found = self.numbers.get((text, unit))
        if found is None:
            try:
                found = Cell(_number_in(text.replace(",", ".") if self.comma else text, unit), text)
            except QuantityError as error:
                told = (
                    (repr(text), error.allowed.replace("a point", "a comma"))
                    if self.comma
                    else (error.found, error.allowed)
                )
                self.faults.number(where.line, f"{name}: {told[0]}", told[1], error.nearest)
                return None
            if len(self.numbers) < MOST_KEPT:
                self.numbers[text, unit] = found
        if name == "seconds" and found.value < 0:
            self.faults.range(where.line, f"{text!r} for 'seconds'", "a time of at least 0 s")
            return None
        return found


def _sure(text: Callable[[str], Cell[str] | None], name: str) -> Cell[str]:
    """A text that was found to be there."""
    given = text(name)
    if given is None:  # pragma: no cover - judged before
        raise AssertionError(name)
    return given


def _number_in(text: str, unit: str | None) -> Fraction:
    """A number in a unit, from a bare number or a quantity; in the unit written where none is known.

    :raises QuantityError: when it is neither, or a quantity of another kind.
    """
    if NUMBER.fullmatch(text.replace("−", "-")):
        return parse_number(text)
    allowed = f"a number with a point, or a quantity in {unit or 'the unit of the display'}"
    try:
        value, spelling = parse_quantity(text)
    except QuantityError as error:
        raise QuantityError(f"{text!r}", allowed) from error
    if unit is None:
        return magnitude(value, spelling)
    if not same_dimension(value, unit):
        raise QuantityError(f"{text!r}", allowed)
    return magnitude(value, unit)
