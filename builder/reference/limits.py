"""Lists of exposure limits: which there are, what their kinds of limit mean, and which limits bind together.

A list ships as a row of the table ``limit-lists`` that names its tables of values; a site may bring further ones
(``builder.program.limit_lists``), which are lists like any other. A place has lists of its own in the table of places.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache
from typing import Final

from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.reference.published import Published
from builder.reference.tables import ReferenceTable, parts, read_table


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitKind:
    """One kind of exposure limit."""

    id: str
    """As content and keys write it."""
    short: str
    """As charts and commands write it."""
    name: str
    """What it means, for a table of limits."""
    minutes: Fraction
    """Over how long it averages, at most; 0 for a value that is never to be passed."""
    to_work_to: bool = True
    """Whether air may be kept at it; what is dangerous to life is no value to work to."""


KINDS: Final = (
    LimitKind(id="twa", short="TWA", name="TWA: 8-hour average", minutes=Fraction(8 * 60)),
    LimitKind(id="stel", short="STEL", name="STEL: 15-minute average", minutes=Fraction(15)),
    LimitKind(
        id="excursion",
        short="excursion limit",
        name="Excursion limit: average over a quarter of an hour",
        minutes=Fraction(15),
    ),
    LimitKind(id="ceiling", short="ceiling", name="Ceiling: never above", minutes=Fraction(0)),
    LimitKind(
        id="idlh", short="IDLH", name="IDLH: at once dangerous to life or health", minutes=Fraction(0), to_work_to=False
    ),
)
"""Every kind of limit, in the order in which they are printed."""

LIMIT_KINDS: Final = tuple(kind.id for kind in KINDS)
"""Their ids."""

KINDS_BY_ID: Final[Mapping[str, LimitKind]] = {kind.id: kind for kind in KINDS}
"""Kinds by id."""


def column_of(kind: str) -> str:
    """The column of a table that holds limits of a kind."""
    return f"{kind}_ppm"


def mass_column_of(kind: str) -> str:
    """The column that holds what a list itself prints in mg/m³ beside a limit of a kind."""
    return f"{kind}_mass"


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitList:
    """One list of exposure limits."""

    id: str
    """As a site writes it."""
    short: str
    """As charts write it."""
    label: str
    """How it calls its limits, as in ``NIOSH REL``."""
    name: str
    """Name with country and force."""
    twa_hours: Fraction
    """Hours a day its average over a shift is for."""
    tables: tuple[ReferenceTable, ...]
    """Its values: the first table that knows one counts."""

    @property
    def kinds(self) -> tuple[str, ...]:
        """Kinds of limit that it has at all."""
        return tuple(kind for kind in LIMIT_KINDS if any(column_of(kind) in table.units for table in self.tables))

    def called(self, kind: str) -> str:
        """What the list calls one of its limits: an IDLH is none of its recommended or permitted limits.

        >>> shipped_lists()["niosh"].called("twa"), shipped_lists()["niosh"].called("idlh")
        ('NIOSH REL TWA for up to 10 h', 'NIOSH IDLH')
        """
        if not KINDS_BY_ID[kind].to_work_to:
            return f"{self.short} {KINDS_BY_ID[kind].short}"
        if kind == "twa":
            hours = plain(self.twa_hours)
            return f"{self.label} {hours} h TWA" if self.twa_hours == USUAL else f"{self.label} TWA for up to {hours} h"
        return f"{self.label} {KINDS_BY_ID[kind].short}"


USUAL: Final = 8
"""Hours of the average that most lists print."""


@cache
def shipped_lists() -> Mapping[str, LimitList]:
    """The lists that ship, by id, in the order of their table."""
    return {
        list_id: LimitList(
            id=list_id,
            short=row["short"],
            label=row["label"],
            name=row["name"],
            twa_hours=Fraction(row["twa_hours"]),
            tables=tuple(read_table(name) for name in parts(row["tables"])),
        )
        for list_id, row in read_table("limit-lists").rows.items()
    }


def keeps(value: Fraction, minutes: Fraction, limit: Published) -> bool:
    """Whether air whose average over so many minutes stays at or below a value, in the limit's unit, keeps the limit.

    What is never above a value (0 minutes) is not above it on any average, so a ceiling keeps a short-term average of
    the same number, and that an average over a shift; never the other way.
    """
    return value <= limit.value and minutes <= KINDS_BY_ID[limit.prop].minutes


def at_least_as_strict(one: Published, other: Published) -> bool:
    """Whether air that keeps one limit always keeps the other too, of the same gas: by kind as well as by number.

    A value dangerous to life is compared with nothing.
    """
    kind, another = KINDS_BY_ID[one.prop], KINDS_BY_ID[other.prop]
    return kind.to_work_to and another.to_work_to and keeps(one.value, kind.minutes, other)


def binding(limits: Iterable[Published]) -> tuple[Published, ...]:
    """Those limits of one gas that have to be kept so that all are kept; of equal ones the first.

    Several bind together where none keeps the other: an average of 10 ppm and a ceiling of 20 ppm.
    """
    kept: list[Published] = []
    for limit in (one for one in limits if KINDS_BY_ID[one.prop].to_work_to):
        if not any(at_least_as_strict(other, limit) for other in kept):
            kept = [other for other in kept if not at_least_as_strict(limit, other)]
            kept.append(limit)
    return tuple(kept)
