"""Which fitted sensors, and which sets of detectors carried together, see what of the hazards of an area, and how.

The author's own blind spots are taken at their word.
"""

from collections.abc import Iterable, Iterator

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger, figures_there
from builder.program.areas import Area, Hazard
from builder.program.cards import CardSpec
from builder.program.carry import CarriedSet
from builder.program.gases import OXYGEN_GAS
from builder.program.keys.families import EXPOSURE_LIMIT
from builder.program.models import Model, Position
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, Sensor
from builder.reference.library import LEL_BASES

Fitted = tuple[Model, Position, Sensor]

INERT = ("argon", "helium", "nitrogen")
"""Library ids of gases that harm only by taking the place of oxygen."""


def sees(sensor: Sensor, gas: str) -> bool:
    """Whether a sensor sees a gas; a gas it is said to be blind to it never sees."""
    return sensor.sees(gas) and all(given.value != gas for given in sensor.blind_to)


def seers(program: Program, area: Area, gas: str) -> tuple[Fitted, ...]:
    """Fitted sensors of allowed models that see a hazard."""
    return _seeing(program, program.fitted_to(program.models_in(area)), gas)


def _seeing(program: Program, fitted: Iterable[Fitted], gas: str) -> tuple[Fitted, ...]:
    """Those that see a gas; an inert one is seen by the oxygen that it leaves."""
    if asphyxiant(program, gas):
        return tuple(one for one in fitted if one[2].channel.value == OXYGEN and sees(one[2], OXYGEN_GAS))
    return tuple(one for one in fitted if sees(one[2], gas))


def asphyxiant(program: Program, gas: str) -> bool:
    """Whether a gas is inert: named in ``INERT``, without any explosive or exposure limit in the library."""
    entry = program.gases[gas].entry
    library = program.library
    return (
        entry.id in INERT
        and not {"lel", "uel"} & program.gases[gas].overrides.keys()
        and not any(library.lel(entry.id, basis) for basis in LEL_BASES)
        and not library.has_limits(entry.id)
    )


def alarms_wanted(program: Program, hazard: Hazard) -> tuple[str, ...]:
    """Alarms of which a hazard needs each: both ends of oxygen where both are a risk; else none by name."""
    if asphyxiant(program, hazard.gas.value):
        return ("low",)
    return {"deficiency": ("low",), "enrichment": ("high",), "both": ("low", "high")}.get(hazard.risk, ())


MUCH = 10
"""%: a part of a mixture that can be as much of it is asked for by itself."""


def hides(program: Program, area: Area, sensor: Sensor, gas: str) -> tuple[str, ...]:
    """Hazards of an area that a sensor is there to see, and whose alarm a gas that disturbs it can hold back."""
    stated = sensor.cross.table.get(gas) if sensor.cross else None
    share = stated.value.magnitude if stated else 0
    held = "high" if share < 0 else "low"
    seen = (one for one in area.hazards if share and one.gas.value != gas and sees(sensor, one.gas.value))
    if sensor.channel.value == OXYGEN:
        return tuple(one.gas.value for one in seen if held in alarms_wanted(program, one))
    return tuple(one.gas.value for one in seen if share < 0)


ENTRY_SOURCE = "29 CFR 1910.146 (c)(5)(ii)(C) and (d)(5)(iii): oxygen, then flammable gases, then toxic gases"
ACUTE = ("stel", "ceiling", "excursion", "idlh")
"""Kinds of limit that a first alarm must come before: they hold for minutes, not for a shift."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenHazard:
    """One hazard beside one set that is carried into its area."""

    area: Area
    carried: CarriedSet
    hazard: Hazard
    fitted: tuple[Fitted, ...]
    """Sensors of the set that see it; empty where none does."""

    @property
    def gas(self) -> str:
        """Id of the hazard's gas."""
        return self.hazard.gas.value

    @property
    def channels(self) -> tuple[str, ...]:
        """Channels on which it shows, each once, those that are not shared with all that burns first."""
        found = dict.fromkeys(sensor.channel.value for _, _, sensor in self.fitted)
        return tuple(sorted(found, key=lambda channel: channel == FLAMMABLE))

    @property
    def only_by_lel(self) -> bool:
        """Whether it shows as a share of an explosive limit and in no other way."""
        return self.channels == (FLAMMABLE,)


def fitted_of(program: Program, carried: CarriedSet) -> tuple[Fitted, ...]:
    """Every sensor of every detector of a set."""
    return tuple(program.fitted_to(program.models[given.value] for given in carried.models))


def channels_on(program: Program, area: Area, card: CardSpec) -> frozenset[str]:
    """Channels of the card's model, or of all that its area allows where it names none."""
    models = (program.models[card.model.value],) if card.model else program.models_in(area)
    return frozenset(sensor.channel.value for model in models for _, sensor in program.fitted(model))


def channels_of(program: Program, carried: CarriedSet) -> frozenset[str]:
    """Channels that a set measures; ask whether one is in it, its order means nothing."""
    return frozenset(sensor.channel.value for _, _, sensor in fitted_of(program, carried))


def seen_hazards(program: Program) -> Iterator[SeenHazard]:
    """Each hazard of each area beside each set that is carried there."""
    for area in program.areas.values():
        for carried in area.carry:
            yield from seen_in(program, area, carried)


def seen_in(program: Program, area: Area, carried: CarriedSet) -> Iterator[SeenHazard]:
    """Each hazard of an area beside one set."""
    fitted = fitted_of(program, carried)
    for hazard in area.hazards:
        seeing = _seeing(program, fitted, hazard.gas.value)
        yield SeenHazard(area=area, carried=carried, hazard=hazard, fitted=seeing)


def toxic_limits(program: Program, ledger: Ledger, area: Area, gas: str) -> tuple[Figure, ...]:
    """Every limit of a gas in the lists that count in an area, list by list; none for oxygen."""
    if gas == OXYGEN_GAS or gas not in program.gases:
        return ()
    lists = program.limit_lists_in(area)
    keys = (EXPOSURE_LIMIT(gas=gas, list=name, kind=kind) for name in lists for kind in (*ACUTE, "twa"))
    return tuple(figures_there(ledger, keys))


def weightiest(passed: Iterable[Figure]) -> Figure:
    """Of several limits that are passed the one that decides: read before unread, of minutes before a shift's, lowest.

    A strict value that nobody read must not turn a stop, which a laxer one that was read proves, into a warning.

    :raises ValueError: when there is none.
    """
    return min(passed, key=lambda limit: (kind_of(limit) not in ACUTE, not limit.read, limit.number))


def kind_of(limit: Figure) -> str:
    """The kind of a limit: the last part of its key."""
    return limit.key.rpartition(".")[2]


def carried_words(program: Program, carried: CarriedSet) -> str:
    """A set in words: ``Two-gas, pumped and Vapour monitor``."""
    return " and ".join(program.models[given.value].name for given in carried.models)
