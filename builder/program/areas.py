"""Work areas: what is done there, what can be in the air, which detectors may be used."""

from collections.abc import Mapping
from typing import Any

from builder.base.nearest import nearest
from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.carry import CarriedSet, read_carried
from builder.program.declared import after, asked, here, identity, made, record, under, words
from builder.program.gases import OXYGEN_GAS
from builder.program.localized import LocalizedText, localized_text
from builder.program.mixtures import Mixture, read_mixtures
from builder.program.reading import Fields
from builder.reference.rules import ACTIVITIES, places

RISKS = ("deficiency", "enrichment", "both")


ENTERED = frozenset({"confined-space-entry", "sewer-entry"})
"""Activities before and during which oxygen, flammable gas and the expected toxic gases are tested, in this order."""


def _risk(fields: Fields, known: Mapping[str, Any]) -> str:
    return fields.choice("risk", RISKS).value if known["gas"].value == OXYGEN_GAS else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """One thing that can be wrong with the air."""

    gas: Given[str] = asked(Fields.reference, "gas")
    risk: str = after(_risk)
    """For oxygen: deficiency, enrichment or both; empty for any other gas."""
    why: Given[str] = asked(Fields.text)


def _place(fields: Fields) -> Given[str] | None:
    given = fields.maybe_text("place")
    if given is not None and given.value not in places():
        allowed = "one of " + ", ".join(places())
        fields.faults.choice(given.where, f"{given.text!r} for 'place'", allowed, nearest(given.text, places()))
    return given


def _hazards(fields: Fields) -> tuple[Hazard, ...]:
    made = fields.parts("hazards", "hazard", record(Hazard))
    fields.faults.refuse_twins((hazard.gas for hazard in made), "hazard {!r} stands twice", "each gas once an area")
    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """One work area."""

    id: str = identity("area")
    names: LocalizedText = under("name", localized_text)
    """The name in every language it has."""
    name: str = after(lambda _, known: known["names"].value)
    note: str = asked(words)
    activities: tuple[Given[str], ...] = asked(Fields.choices, sorted(ACTIVITIES), required=True)
    place: Given[str] | None = made(_place)
    """The place whose rules hold there, where it is not the site's."""
    carry: tuple[CarriedSet, ...] = after(lambda part, known: read_carried(part, known["activities"]))
    """Alternatives: whoever goes in carries all detectors of one of these sets."""
    hazards: tuple[Hazard, ...] = made(_hazards)
    mixtures: tuple[Mixture, ...] = made(read_mixtures)
    """Vapours or gases that are met there together in known parts."""
    lowest_oxygen: Given[Quantity] | None = asked(Fields.maybe_quantity, "%vol")
    temperature: Given[Quantity] | None = asked(Fields.maybe_quantity, "°C", least=-60)
    depth: Given[Quantity] | None = asked(Fields.maybe_quantity, "m", above=True)
    hose: Given[Quantity] | None = asked(Fields.maybe_quantity, "m", above=True)
    rescue_within: Given[Quantity] | None = asked(Fields.maybe_quantity, "min", above=True)
    """Time in which help must be called for someone who lies still, where the site says so."""
    noise: Given[Quantity] | None = asked(Fields.maybe_quantity, "dB(A)", above=True)
    """Level of the noise where people work, where it is known."""
    poisons: tuple[Given[str], ...] = asked(Fields.texts)
    """What is in use there that deadens sensors, in words that sensors use too."""
    where: Where = here("id")

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
