"""Trades that a starter is there for, and the sensors it knows: ``templates/starter`` says what they are."""

from typing import Final

from builder.base.record import dataclass
from builder.load.shipped_yaml import shipped_yaml

ENTRY, FLAME = "confined-space-entry", "hot-work"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One area of the starter."""

    id: str
    name: str
    activities: tuple[str, ...]
    hazards: tuple[tuple[str, str], ...]
    note: str = ""
    own_sensors: tuple[str, ...] = ()

    @property
    def own(self) -> str:
        """What ids of the models carried there have behind their kind."""
        return f"-{self.id}" if self.own_sensors else ""

    @property
    def entered(self) -> bool:
        """Whether it is a confined space."""
        return ENTRY in self.activities


@dataclass(frozen=True, slots=True, kw_only=True)
class Trade:
    """A trade with its sensors and areas."""

    id: str
    name: str
    works: str
    place: str
    channels: tuple[str, ...]
    areas: tuple[Place, ...]
    source: str

    def sensors_in(self, area: Place) -> tuple[str, ...]:
        """Keys of ``sensing.KINDS`` of the detectors carried in an area."""
        return area.own_sensors or self.channels

    @property
    def sets(self) -> dict[str, tuple[str, ...]]:
        """Sensors of each pair of models, by what their ids have behind the kind: nothing, or the area's id."""
        return {area.own: self.sensors_in(area) for area in self.areas}

    @property
    def every_channel(self) -> tuple[str, ...]:
        """Keys of all sensors of the trade."""
        return tuple(dict.fromkeys(name for names in self.sets.values() for name in names))


TRADES = shipped_yaml("starter/trades.yaml", tuple[Trade, ...])
BY_ID: Final = {trade.id: trade for trade in TRADES}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A sensor, its place in a detector, the alarms to begin with and the gas that checks it."""

    id: str
    name: str
    principle: str
    channel: str
    shows: str
    full_scale: str
    resolution: str
    t90: str
    life: str
    low: str
    high: str
    window: str
    checked_with: str
    more: str = ""
    protects: str = ""


KINDS = shipped_yaml("starter/kinds.yaml", dict[str, Kind])
REACTIVE: Final = frozenset(
    {"chlorine", "chlorine-dioxide", "nitrogen-dioxide", "ammonia", "sulfur-dioxide", "phosphine", "vapour"}
)
"""Channels whose gases keep in bottles of their own: they react with others or are held in another balance gas."""
