"""Tables that a site can bring: which fields each has, which of them every row has, and which come more than once."""

from collections.abc import Mapping
from typing import Final

from builder.base.record import dataclass

LAST, FITTED, SENSOR_SERIAL = "last", "fitted", "sensor-serial"


@dataclass(frozen=True, slots=True, kw_only=True)
class TableKind:
    """What tables of one kind can have."""

    id: str
    """As ``maps.yaml`` calls it."""
    fields: tuple[str, ...]
    needed: tuple[str, ...]
    """Those that every row has."""
    times: tuple[str, ...] = ()
    """Those whose day and hour may stand in a column each."""
    groups: tuple[str, ...] = ()
    """Fields that come once a check or a sensor: ``last.calibration``, ``fitted.h2s-cell``."""
    per_sensor: tuple[str, ...] = ()
    """Those that may have a column for each sensor: ``h2s-cell.as-found``."""

    def has(self, name: str) -> bool:
        """Whether a name is that of a field."""
        before, _, after = name.partition(".")
        grouped = (after and before in self.groups) or (before and after in self.per_sensor)
        return name in self.fields or bool(grouped)

    @property
    def written(self) -> tuple[str, ...]:
        """Its fields and groups, as they are told to an author."""
        return (*self.fields, *(f"{group}.ID" for group in self.groups))


INVENTORY: Final = TableKind(
    id="inventory",
    fields=(
        *("id", "model", "serial", "state", "since", "area", "also-in", "pool"),
        *("cylinder", "holder", "battery", "note"),
    ),
    needed=("id", "model", "serial"),
    groups=(LAST, FITTED, SENSOR_SERIAL),
)
RECORDS: Final = TableKind(
    id="records",
    fields=(
        *("unit", "time", "kind", "sensor", "part", "cylinder", "as-found", "as-left", "seconds", "result", "by"),
        *("setting", "value", "order", "note"),
    ),
    needed=("unit", "time", "kind"),
    times=("time",),
    per_sensor=("as-found", "as-left", "seconds", "result", "cylinder"),
)
READBACK: Final = TableKind(
    id="readback", fields=("unit", "read-on", "sensor", "name", "value"), needed=("unit", "read-on", "name", "value")
)
MOVEMENTS: Final = TableKind(
    id="movements",
    fields=("unit", "from", "to", "state", "holder", "area", "certificate", "certificate-until", "note"),
    needed=("unit", "from", "state"),
    times=("from", "to"),
)
STATION_LOG: Final = TableKind(
    id="station-log",
    fields=("station", "time", "what", "inlet", "lot", "unit", "result", "software", "note"),
    needed=("station", "time", "what"),
    times=("time",),
)
TABLES: Final[Mapping[str, TableKind]] = {
    kind.id: kind for kind in (INVENTORY, RECORDS, READBACK, MOVEMENTS, STATION_LOG)
}
"""By id."""
