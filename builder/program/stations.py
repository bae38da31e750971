"""Test stations: boxes that give gas to units by themselves, with a cylinder on each inlet."""

from datetime import date

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.faults import Faults
from builder.program.interval import Interval, interval_of
from builder.program.reading import Fields, each


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


def read_stations(node: Node | None, faults: Faults) -> dict[str, Station]:
    """All stations by id; none where the site has no such file."""
    return {} if node is None else {one.id: one for one in each(node, faults, "stations", "station", _station)}


def _station(fields: Fields) -> Station:
    identity = fields.identity("station")
    leak = fields.inner("leak-test", "leak-test")
    station = Station(
        id=identity.value,
        name=fields.text("name"),
        location=fields.text("location"),
        models=fields.references("models", "model", required=True),
        inlets=_inlets(fields),
        software=fields.text("software"),
        leak_test_every=interval_of(leak.text("every"), fields.faults, use_days=False),
        leak_tested=leak.day("last"),
        log=fields.text("log"),
        where=identity.where,
    )
    leak.close()
    return station


def _inlets(fields: Fields) -> tuple[Inlet, ...]:
    made: list[Inlet] = []
    for part in fields.records("inlets", "inlet"):
        inlet = Inlet(
            number=part.whole("inlet", least=1),
            cylinder=part.maybe_reference("cylinder", "cylinder"),
            set_to=part.maybe_text("set-to"),
        )
        part.close()
        if any(inlet.number.value == earlier.number.value for earlier in made):
            fields.faults.twice(inlet.number.where, f"inlet {inlet.number.value} stands twice", "each inlet once")
        if (inlet.cylinder is None) != (inlet.set_to is None):
            fields.faults.lacks(part.where, "only one of cylinder and set-to", "both, or neither for clean air")
        made.append(inlet)
    return tuple(made)
