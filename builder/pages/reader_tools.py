"""Forms that compute in the reader's browser, as plain data; paper and readers without script have the tables."""

from fractions import Fraction

from builder.base.record import dataclass
from builder.base.rounding import Rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What turns the reading of one channel into the true value of one gas."""

    gas: str
    """Its name."""
    channel: str
    """The name of the channel that shows it."""
    factor: str
    """Key of the figure that the reading is multiplied by."""
    like: str
    """Key of a figure that was made in the same way; its unit and rounding are those of the answer."""
    full_scales: tuple[str, ...]
    """Keys of the ends of range of the detectors that may show the reading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrector:
    """A form for a displayed reading in one area."""

    area: str
    """Its name."""
    corrections: tuple[Correction, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolScale:
    """How the units of one gas hang together."""

    gas: str
    """Its name."""
    ppm_of_one: tuple[tuple[str, Fraction], ...]
    """Unit -> how many parts per million one of it is, exactly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Converter:
    """A form that converts a concentration into the other units."""

    scales: tuple[ToolScale, ...]
    rounding: Rounding
