"""The setpoint that a detector must carry where it is used in several areas."""

from collections.abc import Iterable

from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.program.areas import Area
from builder.program.keys.families import SETPOINT
from builder.program.sensors import OXYGEN


def strictest_setpoint(ledger: Ledger, areas: Iterable[Area], channel: str, alarm: str) -> Figure | None:
    """The one that sounds earliest; ``None`` where no area has that alarm."""
    keys = (SETPOINT(area=area.id, channel=channel, alarm=alarm) for area in areas)
    found = [figure for figure in map(ledger.get, keys) if figure is not None]
    earliest = max if channel == OXYGEN and alarm == "low" else min
    return earliest(found, key=lambda one: one.rounded) if found else None
