"""Work areas: what is done there, what can be in the air, which detectors may be used."""

from builder.base.nearest import nearest
from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.carry import CarriedSet, read_carried
from builder.program.localized import LocalizedText, localized_text
from builder.program.mixtures import Mixture, read_mixtures
from builder.program.reading import Fields
from builder.reference.rules import ACTIVITIES, places

RISKS = ("deficiency", "enrichment", "both")
OXYGEN_GAS = "oxygen"


ENTERED = frozenset({"confined-space-entry", "sewer-entry"})
"""Activities before and during which oxygen, flammable gas and the expected toxic gases are tested, in this order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """One thing that can be wrong with the air."""

    gas: Given[str]
    why: Given[str]
    risk: str
    """For oxygen: deficiency, enrichment or both; empty for any other gas."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """One work area."""

    id: str
    name: str
    activities: tuple[Given[str], ...]
    carry: tuple[CarriedSet, ...]
    """Alternatives: whoever goes in carries all detectors of one of these sets."""
    hazards: tuple[Hazard, ...]
    mixtures: tuple[Mixture, ...]
    """Vapours or gases that are met there together in known parts."""
    lowest_oxygen: Given[Quantity] | None
    temperature: Given[Quantity] | None
    depth: Given[Quantity] | None
    hose: Given[Quantity] | None
    note: str
    where: Where
    noise: Given[Quantity] | None = None
    """Level of the noise where people work, where it is known."""
    poisons: tuple[Given[str], ...] = ()
    """What is in use there that deadens sensors, in words that sensors use too."""
    rescue_within: Given[Quantity] | None = None
    """Time in which help must be called for someone who lies still, where the site says so."""
    place: Given[str] | None = None
    """The place whose rules hold there, where it is not the site's."""
    names: LocalizedText | None = None
    """The name in every language it has."""

    @property
    def doing(self) -> frozenset[str]:
        """Activities, by id."""
        return frozenset(given.value for given in self.activities)

    @property
    def entered(self) -> bool:
        """Whether people go into a space there."""
        return bool(self.doing & ENTERED)

    @property
    def hot_work(self) -> bool:
        """Whether hot work is done there."""
        return "hot-work" in self.doing

    @property
    def detectors(self) -> tuple[Given[str], ...]:
        """Models that stand in any set, each once: those that may be used here, alone or beside others."""
        first: dict[str, Given[str]] = {}
        for one in self.carry:
            for given in one.models:
                first.setdefault(given.value, given)
        return tuple(first.values())

    def hazard(self, gas: str) -> Hazard | None:
        """The hazard of one gas, or ``None``."""
        return next((hazard for hazard in self.hazards if hazard.gas.value == gas), None)


def read_area(fields: Fields) -> Area:
    """An entry of ``areas.yaml``."""
    identity = fields.identity("area")
    names = localized_text(fields, "name")
    note = fields.maybe_text("note")
    doing = fields.choices("activities", sorted(ACTIVITIES), required=True)
    return Area(
        id=identity.value,
        name=names.value,
        place=_place(fields),
        names=names,
        activities=doing,
        carry=read_carried(fields, doing),
        hazards=_hazards(fields),
        mixtures=read_mixtures(fields),
        lowest_oxygen=fields.maybe_quantity("lowest-oxygen", "%vol"),
        temperature=fields.maybe_quantity("temperature", "°C", least=-60),
        depth=fields.maybe_quantity("depth", "m", above=True),
        hose=fields.maybe_quantity("hose", "m", above=True),
        rescue_within=fields.maybe_quantity("rescue-within", "min", above=True),
        noise=fields.maybe_quantity("noise", "dB(A)", above=True),
        poisons=fields.texts("poisons"),
        note=note.value if note else "",
        where=identity.where,
    )


def _place(fields: Fields) -> Given[str] | None:
    given = fields.maybe_text("place")
    if given is not None and given.value not in places():
        allowed = "one of " + ", ".join(places())
        fields.faults.choice(given.where, f"{given.text!r} for 'place'", allowed, nearest(given.text, places()))
    return given


def _hazards(fields: Fields) -> tuple[Hazard, ...]:
    made = fields.parts("hazards", "hazard", _hazard)
    fields.faults.refuse_twins((hazard.gas for hazard in made), "hazard {!r} stands twice", "each gas once an area")
    return made


def _hazard(fields: Fields) -> Hazard:
    gas = fields.reference("gas", "gas")
    risk = fields.choice("risk", RISKS).value if gas.value == OXYGEN_GAS else ""
    return Hazard(gas=gas, why=fields.text("why"), risk=risk)
