"""What each set that is carried together shows of each hazard of its area, and what is there when its alarms sound.

One truth for area pages, books and rules: how a hazard shows, how much of it is really there when the first and the
second alarm sound, and the limits that this stands beside.
"""

from collections.abc import Iterator
from enum import Enum

from builder.base.grouping import grouped
from builder.base.quantity import magnitude, same_dimension
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings.sensor_coverage import SeenHazard, alarms_wanted, asphyxiant, kind_of, seen_in, toxic_limits
from builder.program.areas import Area
from builder.program.carry import CarriedSet
from builder.program.keys.families import SETPOINT, SETPOINT_PPM, SETPOINT_TRUE, SETPOINT_VAPOUR
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR

ALARMS = ("low", "high")
"""Alarms of the moment, in the order in which they sound."""


class Shows(Enum):
    """How a hazard shows on a display."""

    ITSELF = "the gas itself"
    SHARE = "in %LEL"
    VAPOUR = "as vapour"
    OTHER = "as another gas"
    OXYGEN = "as lack of oxygen"
    NOT = "not at all"


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmTruth:
    """One alarm, and what is there when it sounds."""

    alarm: str
    set_to: Figure
    there: Figure
    """What is there, in ppm where that is known; else what the display shows."""
    share: Figure | None = None
    """The same as a share of the explosive limit, of what shows so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenRow:
    """One hazard on one channel of one set."""

    seen: SeenHazard
    channel: str
    """Where it shows; empty where it does not."""
    shows: Shows
    alarms: tuple[AlarmTruth, ...]
    """The first alarm and the second, where they are set."""
    limits: tuple[Figure, ...]
    """Every limit of it in the lists that count there, and what is dangerous to life."""

    @property
    def first(self) -> AlarmTruth | None:
        """What sounds first."""
        return self.alarms[0] if self.alarms else None

    @property
    def passed(self) -> tuple[Figure, ...]:
        """Limits beyond which the first alarm sounds."""
        if self.first is None:
            return ()
        there = self.first.there.amount
        alike = (limit for limit in self.limits if same_dimension(there, limit.unit))
        return tuple(limit for limit in alike if magnitude(there, limit.unit) > magnitude(limit.amount, limit.unit))

    def of_kind(self, *kinds: str) -> tuple[Figure, ...]:
        """Its limits of some kinds, the strictest first."""
        return tuple(sorted((limit for limit in self.limits if kind_of(limit) in kinds), key=lambda one: one.number))


def seen_rows(program: Program, ledger: Ledger, area: Area, carried: CarriedSet) -> Iterator[SeenRow]:
    """What one set shows of the hazards of its area: a row a hazard and channel, also for what it does not show."""
    for seen in seen_in(program, area, carried):
        limits = toxic_limits(program, ledger, area, seen.gas)
        for channel in seen.channels or ("",):
            yield SeenRow(
                seen=seen,
                channel=channel,
                shows=_how(program, seen, channel),
                alarms=tuple(_truths(program, ledger, seen, channel)),
                limits=limits,
            )


def seen_everywhere(program: Program, ledger: Ledger) -> Iterator[SeenRow]:
    """The rows of every set of every area."""
    for area in program.areas.values():
        for carried in area.carry:
            yield from seen_rows(program, ledger, area, carried)


def poisons_unseen(program: Program, ledger: Ledger, area: Area) -> dict[str, tuple[AlarmTruth, Figure]]:
    """First alarm and strictest limit of each gas that shows only as share of the explosive limit, and poisons before.

    Of the set of the area whose alarm sounds last, since nobody knows which set is worn.
    """
    found: dict[str, tuple[AlarmTruth, Figure]] = {}
    for carried in area.carry:
        for row in seen_rows(program, ledger, area, carried):
            if row.seen.only_by_lel and row.passed and row.first is not None:
                least = min(row.passed, key=lambda limit: magnitude(limit.amount, row.passed[0].unit))
                there = magnitude(row.first.there.amount, least.unit)
                held = found.get(row.seen.gas)
                if held is None or there > magnitude(held[0].there.amount, least.unit):
                    found[row.seen.gas] = row.first, least
    return found


def _how(program: Program, seen: SeenHazard, channel: str) -> Shows:
    if channel == OXYGEN and asphyxiant(program, seen.gas):
        return Shows.OXYGEN
    ways = {"": Shows.NOT, FLAMMABLE: Shows.SHARE, VAPOUR: Shows.VAPOUR, seen.gas: Shows.ITSELF, OXYGEN: Shows.ITSELF}
    return ways.get(channel, Shows.OTHER)


def _truths(program: Program, ledger: Ledger, seen: SeenHazard, channel: str) -> Iterator[AlarmTruth]:
    area, gas = seen.area.id, seen.gas
    for alarm in alarms_wanted(program, seen.hazard) or ALARMS:
        set_to = ledger.get(SETPOINT(area=area, channel=channel, alarm=alarm)) if channel else None
        if set_to is not None:
            vapour = ledger.get(SETPOINT_VAPOUR(area=area, gas=gas, alarm=alarm)) if channel == VAPOUR else None
            there = vapour or ledger.get(SETPOINT_PPM(area=area, gas=gas, alarm=alarm, channel=channel))
            share = ledger.get(SETPOINT_TRUE(area=area, gas=gas, alarm=alarm)) if channel == FLAMMABLE else None
            yield AlarmTruth(alarm=alarm, set_to=set_to, there=there or share or set_to, share=share)


def sets_alike(program: Program, area: Area) -> tuple[tuple[CarriedSet, ...], ...]:
    """The sets of an area, those together that show every hazard on the same channels."""
    groups = grouped(area.carry, lambda carried: tuple(seen.channels for seen in seen_in(program, area, carried)))
    return tuple(tuple(group) for group in groups.values())
