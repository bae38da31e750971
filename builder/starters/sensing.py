"""Sensors that starters know, read from ``templates/starter/kinds.yaml``, which says what they are."""

from typing import Final

from builder.base.record import dataclass
from builder.load.shipped_yaml import shipped_yaml


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
