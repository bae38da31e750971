"""What is said of a table of unknown form, and the map of it as it is thought out."""

from collections.abc import Mapping
from dataclasses import field
from typing import Final

from builder.base.record import dataclass
from builder.program.column_maps import MOVEMENT_FIELDS, RECORD_FIELDS, SETTING_FIELDS, STATION_FIELDS, UNIT_FIELDS
from builder.program.trade_words import IGNORED

INVENTORY, RECORDS, READBACK, MOVEMENTS, STATION = "inventory", "records", "readback", "movements", "station-log"
FIELDS: Final[Mapping[str, tuple[str, ...]]] = {
    INVENTORY: UNIT_FIELDS,
    RECORDS: RECORD_FIELDS,
    READBACK: SETTING_FIELDS,
    MOVEMENTS: MOVEMENT_FIELDS,
    STATION: STATION_FIELDS,
}
NEEDED: Final[Mapping[str, tuple[str, ...]]] = {
    INVENTORY: ("id", "model", "serial"),
    RECORDS: ("unit", "time", "kind"),
    READBACK: ("unit", "read-on", "name", "value"),
    MOVEMENTS: ("unit", "from", "state"),
    STATION: ("station", "time", "what"),
}
TIMES: Final[Mapping[str, tuple[str, ...]]] = {
    RECORDS: ("time",),
    READBACK: (),
    MOVEMENTS: ("from", "to"),
    INVENTORY: (),
    STATION: ("time",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What a person said of the table already; it goes before whatever is seen in it."""

    fields: Mapping[str, str] = field(default_factory=dict)
    """Field by head."""
    constants: Mapping[str, str] = field(default_factory=dict)
    ignore: frozenset[str] = frozenset()
    footers: tuple[str, ...] = ()
    values: Mapping[str, str] = field(default_factory=dict)
    """What a word stands for, by its field, a colon and the word: ``model:4-gas``."""
    zone: str = ""


@dataclass(slots=True)
class Proposal:
    """A map as it is thought out."""

    kind: str
    line: int
    """Row of the heads."""
    head: tuple[str, ...]
    samples: Mapping[str, tuple[str, ...]]
    """First values by head."""
    columns: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Heads by field."""
    values: dict[str, dict[str, str]] = field(default_factory=dict)
    constants: dict[str, str] = field(default_factory=dict)
    ignore: list[str] = field(default_factory=list)
    settings: dict[str, str] = field(default_factory=dict)
    """Other keys of the map and their values."""
    footers: dict[int, str] = field(default_factory=dict)
    """How rows at the end begin that are no rows, by their numbers."""
    unsure: list[str] = field(default_factory=list)
    """What a person has to answer, a line each."""

    def meaning(self, head: str) -> str:
        """What a head is taken for; empty where it is not understood."""
        if head in self.ignore:
            return IGNORED
        return next((name for name, heads in self.columns.items() if head in heads), "")
