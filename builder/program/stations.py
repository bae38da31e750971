"""Test stations: boxes that give gas to units by themselves, with a cylinder on each inlet."""

from datetime import date

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.interval import Interval
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlet:
    """One inlet of a station."""

    number: Given[int]
    cylinder: Given[str] | None
    """What is joined to it; ``None`` for clean air from the room."""
    set_to: Given[str] | None
    """Lot that the station itself was told is there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """One test station."""

    id: str
    name: Given[str]
    location: Given[str]
    models: tuple[Given[str], ...]
    inlets: tuple[Inlet, ...]
    software: Given[str]
    leak_test_every: Given[Interval]
    leak_tested: Given[date]
    """Day of the last good leak test."""
    log: Given[str]
    """Where its own log is kept."""
    where: Where


def read_station(fields: Fields) -> Station:
    """An entry of ``stations.yaml``."""
    identity = fields.identity("station")
    every, last = fields.part("leak-test", lambda leak: (leak.interval("every"), leak.day("last")))
    return Station(
        id=identity.value,
        name=fields.text("name"),
        location=fields.text("location"),
        models=fields.references("models", "model", required=True),
        inlets=_inlets(fields),
        software=fields.text("software"),
        leak_test_every=every,
        leak_tested=last,
        log=fields.text("log"),
        where=identity.where,
    )


def _inlets(fields: Fields) -> tuple[Inlet, ...]:
    made = fields.parts("inlets", "inlet", _inlet)
    for at, inlet in enumerate(made):
        if any(inlet.number.value == earlier.number.value for earlier in made[:at]):
            fields.faults.twice(inlet.number.where, f"inlet {inlet.number.value} stands twice", "each inlet once")
    return made


def _inlet(fields: Fields) -> Inlet:
    inlet = Inlet(
        number=fields.whole("inlet", least=1),
        cylinder=fields.maybe_reference("cylinder", "cylinder"),
        set_to=fields.maybe_text("set-to"),
    )
    if (inlet.cylinder is None) != (inlet.set_to is None):
        fields.faults.lacks(fields.where, "only one of cylinder and set-to", "both, or neither for clean air")
    return inlet
