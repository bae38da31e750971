"""Vapour pressure of liquids: the coefficients a published table prints, and between which temperatures they hold."""

from fractions import Fraction
from typing import Final

from builder.base.record import dataclass
from builder.reference.sources import Source
from builder.reference.tables import read_table, was_read

VAPOUR_PRESSURES: Final = "vapour-pressure-perry-2007"
"""The table in use."""

COEFFICIENTS: Final = ("a_number", "b_k", "c_number", "d_number", "e_number")


@dataclass(frozen=True, slots=True, kw_only=True)
class VapourFit:
    """Coefficients of one liquid: p in Pa = exp(a + b / T + c ln T + d T^e), T in K."""

    gas: str
    """Id of the gas."""
    coefficients: tuple[Fraction, ...]
    """a to e, exactly as the table has them."""
    texts: tuple[str, ...]
    """The same as text."""
    coldest: Fraction
    """Lowest temperature at which they hold, in K."""
    hottest: Fraction
    """Highest temperature at which they hold, in K."""
    source: Source
    """The table."""
    locator: str
    """Row within it."""
    read: bool
    """Whether every coefficient was read in the source or a copy of it."""


def vapour_fit(gas_id: str) -> VapourFit | None:
    """The coefficients of a liquid, else ``None``."""
    table = read_table(VAPOUR_PRESSURES)
    row = table.rows.get(gas_id)
    if row is None:
        return None
    return VapourFit(
        gas=gas_id,
        coefficients=tuple(Fraction(row[name]) for name in COEFFICIENTS),
        texts=tuple(row[name] for name in COEFFICIENTS),
        coldest=Fraction(row["coldest_k"]),
        hottest=Fraction(row["hottest_k"]),
        source=table.source,
        locator=row["locator"],
        read=all(was_read(row, name) for name in (*COEFFICIENTS, "coldest_k", "hottest_k")),
    )
