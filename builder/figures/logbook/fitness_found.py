"""What records show of one unit on one day."""

from datetime import date
from enum import Enum

from builder.base.record import dataclass
from builder.figures.logbook.states import Stays
from builder.figures.logbook.units import Episode
from builder.program.inventory import Unit
from builder.program.records import Person, Record


class Shown(Enum):
    """What the records show of a day; the values are the words a reader sees."""

    FIT = "shown fit"
    NOT_KNOWN = "not shown fit"
    UNFIT = "not fit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitness:
    """One unit on one day, up to its first use or, without one, to the end of the day."""

    unit: Unit
    day: date
    stays: Stays
    """States, areas and holders: those at the first use, else all of the day."""
    first_use: Record | None
    tested: Record | None
    """The good check with gas that came last before the first use, on whatever day."""
    calibrated: date | None
    """Day on which the sensor longest without a good calibration had it."""
    calibrated_by: Record | None
    """Its record; ``None`` where the inventory alone tells the day."""
    good_through: date | None
    """Last day that calibration holds by the plan."""
    bottle: str
    """The cylinder that the check with gas names, or empty."""
    bottle_until: date | None
    settings_read: date | None
    """Last day on which its settings were read back."""
    faults: tuple[Episode, ...]
    """Failures that no good check had cleared."""
    person: Person | None
    """Who used it, where the record names one of the register."""
    against: tuple[str, ...]
    """Why it was not fit."""
    unknown: tuple[str, ...]
    """What nobody can tell from this content."""

    @property
    def shown(self) -> Shown:
        """The three put together; what is not known is never a pass."""
        if self.against:
            return Shown.UNFIT
        return Shown.NOT_KNOWN if self.unknown else Shown.FIT
