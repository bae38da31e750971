"""What the instruments say they are set to, as exported from them."""

from collections.abc import Iterable, Mapping

from builder.base.nearest import near
from builder.base.quantity import QuantityError, parse_number, parse_quantity, same_dimension
from builder.base.where import Given, Where
from builder.load.tables import SourceTable
from builder.program.clock_times import TimeError
from builder.program.column_maps import SETTING_FIELDS, ColumnMap
from builder.program.columns import OpenTable, open_tables
from builder.program.faults import Faults
from builder.program.records import ReadBackSetting
from builder.program.settings_access import names_code
from builder.program.values import ID

NEEDED = ("unit", "read-on", "name", "value")
ALARM_UNITS = ("%LEL", "%vol", "ppm")
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
    tables: Iterable[SourceTable], maps: tuple[ColumnMap, ...], faults: Faults
) -> tuple[ReadBackSetting, ...]:
    """Every value read back, in the order of files and rows."""
    made: list[ReadBackSetting] = []
    for table in open_tables(tables, maps, (SETTING_FIELDS, NEEDED), faults):
        reader = _SettingReader(table, faults.defined("sensor"))
        for where, fields, written in table.body():
            setting = reader.setting(fields, written, where)
            if setting is not None:
                made.append(setting)
    return tuple(made)


class _SettingReader:
    """Reads the rows of one file."""

    def __init__(self, table: OpenTable, sensors: tuple[str, ...]) -> None:
        self.clock = table.clock
        self.comma = table.decimal_comma
        self.faults = table.rows.faults
        self.sensors = sensors

    def setting(self, fields: Mapping[str, str], written: Mapping[str, str], where: Where) -> ReadBackSetting | None:
        """One row, or ``None`` when it is malformed, which is noted."""
        before = self.faults.count
        try:
            day = self.clock.day(fields["read-on"])
        except TimeError as error:
            self.faults.time(where.line, f"read-on: {error.found}", error.allowed)
            return None
        value = fields["value"].replace(",", ".") if self.comma else fields["value"]
        shown = written.get("value", fields["value"])
        if names_code(fields["name"]):  # an access code goes no further than this line
            value = shown = NOT_KEPT
        self._judge(fields, value, where.line)
        if self.faults.count > before:
            return None
        sensor = fields.get("sensor")
        return ReadBackSetting(
            unit=Given(fields["unit"], where, written.get("unit", fields["unit"])),
            read_on=Given(day, where, fields["read-on"]),
            sensor=Given(sensor, where, written.get("sensor", sensor)) if sensor else None,
            name=Given(fields["name"], where, written.get("name", fields["name"])),
            value=Given(value, where, shown),
            where=where,
        )

    def _judge(self, fields: Mapping[str, str], value: str, line: int) -> None:
        name, sensor = fields["name"], fields.get("sensor")
        if sensor and self.sensors and sensor not in self.sensors:
            self.faults.unknown(
                line, f"unknown sensor {sensor!r}", "a sensor of sensors.yaml", near(sensor, self.sensors)
            )
        if name not in SETTINGS:  # kept as it is: an export may say more than this handbook judges
            return
        if (name in OF_SENSOR) != (sensor is not None):
            found = f"{name} of sensor {sensor!r}" if sensor else f"{name} without sensor"
            self.faults.add(line, found, f"a sensor with {', '.join(OF_SENSOR)}, none with {', '.join(OF_UNIT)}")
        fault = fault_of(name, value)
        if fault:
            self.faults.choice(line, f"{value!r} for {name}", fault)


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
    units = ("s",) if name in TIMES else ALARM_UNITS
    return "" if any(same_dimension(read, unit) for unit in units) else f"a quantity in {' or '.join(units)}"
