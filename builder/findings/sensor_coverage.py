"""Which fitted sensors see what, with the author's own blind spots taken at their word."""

from builder.program.areas import OXYGEN_GAS, Area, Hazard
from builder.program.gases import Gas
from builder.program.models import Model, Position
from builder.program.program import Program
from builder.program.sensors import OXYGEN, Sensor
from builder.reference.library import LEL_BASES

Fitted = tuple[Model, Position, Sensor]

INERT = ("argon", "helium", "nitrogen")
"""Library ids of gases that harm only by taking the place of oxygen."""


def sees(sensor: Sensor, gas: str) -> bool:
    """Whether a sensor sees a gas; a gas it is said to be blind to it never sees."""
    return sensor.sees(gas) and all(given.value != gas for given in sensor.blind_to)


def seers(program: Program, area: Area, gas: str) -> tuple[Fitted, ...]:
    """Fitted sensors of allowed models that see a hazard; an inert gas is seen by what oxygen it leaves."""
    wanted = OXYGEN_GAS if asphyxiant(program, gas) else gas
    return tuple(
        fitted
        for fitted in program.seen_by(area, wanted)
        if sees(fitted[2], wanted) and (wanted == gas or fitted[2].channel.value == OXYGEN)
    )


def asphyxiant(program: Program, gas: str) -> bool:
    """Whether a gas is inert: named in ``INERT``, without any explosive or exposure limit in the library."""
    entry = program.gases[gas].entry
    library = program.library
    return (
        entry.id in INERT
        and not _given_limit(program.gases[gas])
        and not any(library.lel(entry.id, basis) for basis in LEL_BASES)
        and not library.has_limits(entry.id)
    )


def _given_limit(gas: Gas) -> bool:
    return "lel" in gas.overrides or "uel" in gas.overrides


def alarms_wanted(program: Program, hazard: Hazard) -> tuple[str, ...]:
    """Alarms of which a hazard needs each: both ends of oxygen where both are a risk; else none by name."""
    if asphyxiant(program, hazard.gas.value):
        return ("low",)
    return {"deficiency": ("low",), "enrichment": ("high",), "both": ("low", "high")}.get(hazard.risk, ())
