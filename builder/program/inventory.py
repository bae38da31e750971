"""The units: which detector, where, in what state, when last checked."""

import re
from collections.abc import Container, Iterable, Mapping
from datetime import date
from typing import Any

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Items, Node, Scalar
from builder.program.declared import after, asked, here, made, record, words
from builder.program.faults import Faults
from builder.program.reading import Fields, records_of
from builder.program.values import day_of, single

MADE_OF_SERIALS = {
    "a long number that a spreadsheet shortened": re.compile(r"\d[.,]\d+E\+\d+|#{2,}"),
    "a day that a spreadsheet took it for": re.compile(r"\d{4}-\d\d-\d\d"),
}
"""What stands in a cell where a spreadsheet made something else of the serial."""

STATES = ("in-use", "spare", "quarantined", "repair", "retired", "lent", "hired")
"""In use here; kept ready; barred until it is looked at; being mended; gone for good; ours, with somebody else;
somebody else's, in use here."""
NOT_KNOWN = "not-known"
"""The state of a unit on a day of which no row of its movements tells; nobody can write it."""
HIRED = "hired"
USED_STATES = ("in-use", HIRED)
CHECKED_STATES = (*USED_STATES, "spare")
"""States in which checks fall due; a unit in any other state must not be used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedSensor:
    """One sensor that really is in a unit."""

    sensor: Given[str] = asked(Fields.reference, "sensor")
    """Id of its kind."""
    fitted: Given[date] | None = asked(Fields.maybe_day)
    serial: Given[str] | None = asked(Fields.maybe_text)
    where: Where = after(lambda _, known: known["sensor"].where)


def _sensors(fields: Fields) -> tuple[FittedSensor, ...]:
    made = fields.parts("sensors", "fitted sensor", record(FittedSensor), required=False)
    named = (one.sensor for one in made)
    fields.faults.refuse_twins(named, "sensor {!r} is fitted twice", "a kind of sensor once a unit")
    return made


def _several(fields: Fields, key: str, kind: str) -> tuple[Given[str], ...]:
    """One id, or several in a list; in a cell of a table with blanks between them."""
    node = fields.node.get(key)
    if not isinstance(node, Scalar) or len(node.text.split()) < 2:  # noqa: PLR2004 - more than one
        alone = fields.maybe_reference(key, kind) if isinstance(node, Scalar | None) else None
        return (alone,) if alone else fields.references(key, kind)
    fields.take(key)
    named = dict.fromkeys(node.text.split())
    if len(named) < len(node.text.split()):
        fields.faults.twice(node.where, f"{node.text!r} names a {kind} twice", "each once")
    return tuple(fields.faults.refer(kind, Given(one, node.where, one)) for one in named)


def _also_in(fields: Fields, unit: Mapping[str, Any]) -> tuple[Given[str], ...]:
    """Further areas of a unit that has one."""
    made, area = _several(fields, "also-in", "area"), unit["area"]
    if made and area is None:
        fields.faults.add(made[0].where, "also-in of a unit without area", "area too; a unit of a pool goes anywhere")
    return tuple(given for given in made if area is None or given.value != area.value)


def _last(fields: Fields) -> dict[str, Given[date]]:
    made: dict[str, Given[date]] = {}
    for key, node in fields.by_reference("last", "check"):
        day = single(node, fields.faults, f"the day of {key.text!r}", "a date as YYYY-MM-DD")
        if day:
            made[key.text] = day_of(day, fields.faults, key.text)
    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One detector."""

    id: str = made(lambda part: part.marking("unit").value)
    area: Given[str] | None = asked(Fields.maybe_reference, "area")
    pool: Given[str] | None = asked(Fields.maybe_text)
    note: str = asked(words)
    sensors: tuple[FittedSensor, ...] = made(_sensors)
    """What is fitted, as far as the inventory says."""
    model: Given[str] = asked(Fields.reference, "model")
    serial: Given[str] = asked(Fields.text)
    state: Given[str] = asked(Fields.choice, STATES, NOT_KNOWN)
    """One of ``STATES``; ``NOT_KNOWN`` where the inventory leaves it to the movements and none tells."""
    cylinders: tuple[Given[str], ...] = made(lambda part: _several(part, "cylinder", "cylinder"))
    """Gas it is checked with, in the order in which a sensor looks for its own."""
    last: Mapping[str, Given[date]] = made(_last)
    """Day of the last good check, by check id."""
    also_in: tuple[Given[str], ...] = after(_also_in)
    """Areas to which it goes on the same day too, without being issued anew."""
    where: Where = here("id")
    holder: Given[str] | None = asked(Fields.maybe_text)
    """Who has it."""
    since: Given[date] | None = asked(Fields.maybe_day)
    """First day of its state, where the inventory says so."""
    battery: Given[date] | None = asked(Fields.maybe_day)
    """When its battery was fitted."""

    def fitted(self, sensor: str) -> FittedSensor | None:
        """The sensor of one kind, or ``None`` where the inventory does not say."""
        return next((part for part in self.sensors if part.sensor.value == sensor), None)

    @property
    def fitted_on(self) -> dict[str, date]:
        """Day on which each sensor was fitted, as far as the inventory says."""
        return {part.sensor.value: part.fitted.value for part in self.sensors if part.fitted}

    def checked_with(self, cylinder: str) -> bool:
        """Whether a cylinder is one of those it is checked with."""
        return any(given.value == cylinder for given in self.cylinders)

    @property
    def in_use(self) -> bool:
        """Whether it is in use here, our own or hired."""
        return self.state.value in USED_STATES

    @property
    def checked(self) -> bool:
        """Whether checks of it fall due: in use or spare."""
        return self.state.value in CHECKED_STATES

    @property
    def place(self) -> str:
        """Area id or name of the pool."""
        given = self.area or self.pool
        return given.value if given else ""

    @property
    def places(self) -> tuple[str, ...]:
        """Its place, and the areas to which it goes on the same day."""
        return (self.place, *(given.value for given in self.also_in))


def read_inventory(node: Node | None, faults: Faults) -> dict[str, Unit]:
    """All units by id, from a YAML list under ``units`` or from the rows of a table."""
    rows = node
    if not isinstance(node, Items):
        root = Fields(node, faults, "a file with a list of units", Where("inventory.yaml", 1))
        rows = root.need("units")
        if not root.usable:
            faults.overlook("unit")
        root.close()
    made: dict[str, Unit] = {}
    serials: dict[str, Where] = {}
    for fields in records_of(rows, faults, "units", "unit"):
        unit = _unit(fields)
        fields.close()
        if unit.serial.value and unit.serial.value in serials:
            found = f"serial {unit.serial.value!r} stands twice (first at {serials[unit.serial.value]})"
            faults.twice(unit.serial.where, found, "each serial once")
        for serial in (unit.serial, *(part.serial for part in unit.sensors if part.serial)):
            if serial.value != serial.value.strip():
                faults.hidden(serial.where, f"serial {serial.text!r} with a blank at its end", "the serial alone")
            for made_of, form in MADE_OF_SERIALS.items():
                if form.fullmatch(serial.value):
                    found = f"serial {serial.value!r}, {made_of}"
                    faults.number(serial.where, found, "all its digits, in a column saved as text")
        serials.setdefault(unit.serial.value, unit.serial.where)
        made.setdefault(unit.id, unit)
    return made


def require_states(units: Iterable[Unit], moved: Container[str], faults: Faults) -> None:
    """The inventory tells state, its first day and holder of a unit, or its movements do: never both."""
    for unit in units:
        if unit.state.value == NOT_KNOWN and unit.id not in moved:
            allowed = "one of " + ", ".join(STATES) + ", or a row in movements/ that tells it"
            faults.lacks(unit.where, f"unit {unit.id!r} without state", allowed)
        doubled = {"state": unit.state if unit.state.value != NOT_KNOWN else None, "since": unit.since,
                   "holder": unit.holder}  # fmt: skip
        for key, given in doubled.items() if unit.id in moved else ():
            if given is not None:
                found = f"{key} of unit {unit.id!r}, which rows in movements/ tell too"
                faults.add(given.where, found, "one of the two: its movements tell every day, the inventory only today")


def _unit(fields: Fields) -> Unit:
    unit = record(Unit)(fields)
    if (unit.area is None) == (unit.pool is None):
        found = f"unit {unit.id!r} with {'neither area nor' if unit.area is None else 'both area and'} pool"
        fields.faults.add(unit.where, found, "exactly one of area and pool")
    return unit
