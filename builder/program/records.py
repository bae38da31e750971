"""What was done with the units, when, by whom; who may do it; and what the instruments say they are set to."""

from datetime import date, datetime
from fractions import Fraction
from typing import Generic, TypeVar

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.checks import KINDS, what_of
from builder.program.declared import asked, here, made, record, under
from builder.program.reading import Fields

T = TypeVar("T")

RECORD_KINDS = (*KINDS, "sensor-change", "setting-change", "use")
"""Kinds of record: those of checks, a change of sensor or of a setting, and a day of use."""
RESULTS = ("pass", "fail")


@dataclass(frozen=True, slots=True)
class Cell(Generic[T]):
    """A value of a row as it is written there. It has no place of its own, so rows that say the same share it."""

    value: T
    """The parsed value."""
    text: str
    """The text as the author wrote it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One row of a record file. A check of several sensors is several rows of one unit and time."""

    unit: Cell[str]
    """Id of the unit as written; it may name a unit that does not exist, which is a finding, not a fault."""
    time: Cell[datetime]
    """When, with its zone."""
    kind: Cell[str]
    """One of ``RECORD_KINDS``."""
    sensor: Cell[str] | None
    """Id of the kind of sensor, or ``None`` for the whole unit."""
    cylinder: Cell[str] | None
    """Id of the cylinder as written; it may name one that does not exist."""
    as_found: Cell[Fraction] | None
    """Reading before adjustment, in the unit of the sensor's display."""
    as_left: Cell[Fraction] | None
    """Reading after adjustment."""
    seconds: Cell[Fraction] | None
    """Time until the alarm sounded, for bump tests."""
    result: Cell[str] | None
    """pass or fail as recorded."""
    by: Cell[str] | None
    """Id of the person as written."""
    note: str
    where: Where
    part: Cell[str] | None = None
    """Part that was inspected or replaced, or ``None`` for the whole unit."""
    setting: Cell[str] | None = None
    """Setting that was changed."""
    value: Cell[str] | None = None
    """What it was changed to, as written."""
    order: Cell[str] | None = None
    """Who or what asked for the change."""
    shares_row: bool = False
    """Whether its row may hold records of other sensors too."""

    def given(self, cell: Cell[T]) -> Given[T]:
        """A cell of this row with its place."""
        return Given(cell.value, self.where, cell.text)

    @property
    def what(self) -> str:
        """What it is a record of, as ``Check.what``."""
        return what_of(self.kind.value, self.part.value) if self.part else self.kind.value

    @property
    def day(self) -> date:
        """The local day of the record, in the zone it was written in."""
        return self.time.value.date()


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """One line of the training and authorisation register."""

    id: str = made(lambda part: part.marking("person").value)
    start: Given[date] = under("from", Fields.day)
    until: Given[date] = asked(Fields.day)
    name: str = made(lambda part: part.text("name").value)
    role: Given[str] = asked(Fields.text)
    kinds: tuple[Given[str], ...] = under("may", Fields.choices, RECORD_KINDS, required=True)
    """Kinds of record this person may make."""
    assessed_by: Given[str] = asked(Fields.text)
    where: Where = here("id")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBackSetting:
    """One value read back from an instrument's own configuration."""

    unit: Given[str]
    read_on: Given[date]
    sensor: Given[str] | None
    """Id of the kind of sensor, or ``None`` for a setting of the whole unit."""
    name: Given[str]
    """One of ``SETTINGS``, or a name that this handbook does not know, which is kept."""
    value: Given[str]
    """As exported, parsed by whoever compares it."""
    where: Where
    changed: bool = False
    """Whether a record tells that it was set so, and not the instrument itself."""


def read_person(fields: Fields) -> Person:
    """An entry of ``people.yaml``."""
    person = record(Person)(fields)
    if date.min < person.until.value < person.start.value:  # the first day there is stands for none
        found = f"{person.id!r} authorised until {person.until.text}, before {person.start.text}"
        fields.faults.add(person.until.where, found, "a last day on or after the first")
    return person
