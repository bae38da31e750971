"""What the instruments say they are set to, as exported from them."""

from collections.abc import Iterable
from dataclasses import replace
from functools import partial

from builder.base.quantity import QuantityError, parse_number, parse_quantity, same_dimension
from builder.base.where import Given
from builder.load.tables import SourceTable
from builder.program.column_maps import ColumnMap
from builder.program.faults import Faults
from builder.program.models import READS_IN
from builder.program.record_rows import A_SENSOR, Displays
from builder.program.records import ReadBackSetting
from builder.program.settings_access import names_code
from builder.program.table_kinds import READBACK
from builder.program.table_row import TableRow, rows_read
from builder.program.values import ID

OF_SENSOR = ("low", "high", "twa", "stel", "factor", "target", "on", "span", "span-gas")
TIMES = ("motionless", "warning", "average-base", "log-interval", "alarm-delay", "clock")
"""Of ``clock`` by how much it is fast, with a minus where it is slow."""
OF_UNIT = (*TIMES, "latching", "relay", "firmware")
SETTINGS = (*OF_SENSOR, *OF_UNIT)
SWITCHES = ("on", "latching", "relay")
GASES = ("target", "span-gas")
YES_NO = ("yes", "no")
NOT_KEPT = "not kept"
"""Stands for the value of a setting that is an access code."""


def read_settings(
    tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], displays: Displays, faults: Faults
) -> tuple[ReadBackSetting, ...]:
    """Every value read back, in the order of files and rows."""
    return tuple(rows_read(tables, maps, READBACK, faults, partial(_setting, displays=displays)))


def _setting(row: TableRow, displays: Displays) -> ReadBackSetting | None:
    before = row.faults.count
    row = replace(row, fields=displays.with_sensor(row.fields))
    day, name, value = row.day("read-on"), row.text("name"), row.text("value")
    if day is None:
        return None
    if names_code(name.value):  # an access code goes no further than this line
        value = Given(NOT_KEPT, row.where, NOT_KEPT)
    elif row.table.decimal_comma:
        value = Given(value.value.replace(",", "."), row.where, value.text)
    row.judge_id("sensor", displays.sensors, A_SENSOR)
    _judge(row, name.value, value.value)
    if row.faults.count > before:
        return None
    return ReadBackSetting(
        unit=row.text("unit"), read_on=day, sensor=row.maybe_text("sensor"), name=name, value=value, where=row.where
    )


def _judge(row: TableRow, name: str, value: str) -> None:
    if name not in SETTINGS:  # kept as it is: an export may say more than this handbook judges
        return
    sensor = row.fields.get("sensor")
    if (name in OF_SENSOR) != (sensor is not None):
        found = f"{name} of sensor {sensor!r}" if sensor else f"{name} without sensor"
        row.faults.add(row.where.line, found, f"a sensor with {', '.join(OF_SENSOR)}, none with {', '.join(OF_UNIT)}")
    fault = fault_of(name, value)
    if fault:
        row.faults.choice(row.where.line, f"{value!r} for {name}", fault)


def fault_of(name: str, value: str) -> str:
    """What the value of a setting should be; empty when it is that."""
    if name in SWITCHES:
        return "" if value in YES_NO else "yes or no"
    if name == "firmware":
        return ""
    if name in GASES:
        return "" if ID.fullmatch(value) else "the id of a gas"
    try:
        if name == "factor":
            return "" if parse_number(value) > 0 else "a number above zero"
        read, _ = parse_quantity(value)
    except QuantityError as error:
        return error.allowed
    units = ("s",) if name in TIMES else READS_IN
    return "" if any(same_dimension(read, unit) for unit in units) else f"a quantity in {' or '.join(units)}"
