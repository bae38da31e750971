"""Test stations: boxes that give gas to units by themselves, with a cylinder on each inlet."""

from datetime import date

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here, identity, made, record, under
from builder.program.interval import Interval
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlet:
    """One inlet of a station."""

    number: Given[int] = under("inlet", Fields.whole, least=1)
    cylinder: Given[str] | None = asked(Fields.maybe_reference, "cylinder")
    """What is joined to it; ``None`` for clean air from the room."""
    set_to: Given[str] | None = asked(Fields.maybe_text)
    """Lot that the station itself was told is there."""


def _inlets(fields: Fields) -> tuple[Inlet, ...]:
    made = fields.parts("inlets", "inlet", _inlet)
    for at, inlet in enumerate(made):
        if any(inlet.number.value == earlier.number.value for earlier in made[:at]):
            fields.faults.twice(inlet.number.where, f"inlet {inlet.number.value} stands twice", "each inlet once")
    return made


def _inlet(fields: Fields) -> Inlet:
    inlet = record(Inlet)(fields)
    if (inlet.cylinder is None) != (inlet.set_to is None):
        fields.faults.lacks(fields.where, "only one of cylinder and set-to", "both, or neither for clean air")
    return inlet


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakTest:
    """The leak test of a station."""

    every: Given[Interval] = asked(Fields.interval)
    last: Given[date] = asked(Fields.day)
    """Day of the last good one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One test station."""

    id: str = identity("station")
    leak_test: LeakTest = asked(Fields.part, record(LeakTest))
    name: Given[str] = asked(Fields.text)
    location: Given[str] = asked(Fields.text)
    models: tuple[Given[str], ...] = asked(Fields.references, "model", required=True)
    inlets: tuple[Inlet, ...] = made(_inlets)
    software: Given[str] = asked(Fields.text)
    log: Given[str] = asked(Fields.text)
    """Where its own log is kept."""
    where: Where = here("id")
