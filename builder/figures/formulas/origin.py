"""Figures that are not calculated: stated by the site, printed by a source, or chosen as the strictest."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TypeVar

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.registry import formula
from builder.program.interval import Interval
from builder.reference.formula import molar_mass

Stated = TypeVar("Stated", Quantity, Interval)
"""What content and tables state: a quantity or an interval."""


@formula(
    title="As stated in the site's content",
    expression="x",
    source="the site's own content, at the line shown",
    valid="whatever the content states",
    rounding="as written",
)
def stated(value: Stated) -> Stated:
    """A value that the site states.

    :param value: as written [any]
    :returns: the same [any]

    >>> str(stated(quantity(15, "s")).magnitude)
    '15'
    """
    return value


@formula(
    title="As the source prints it",
    expression="x",
    source="the table shown",
    valid="the edition shown",
    rounding="as printed",
)
def published(value: Stated) -> Stated:
    """A value that a published table prints.

    :param value: as printed [any]
    :returns: the same [any]

    >>> str(published(quantity("4.4", "%vol")).magnitude)
    '22/5'
    """
    return value


@formula(
    title="Set by the site instead of the library's value",
    expression="x",
    source="the site's own source, at the line shown",
    valid="whatever the content states",
    rounding="as written",
)
def overridden(value: Stated) -> Stated:
    """A value that the site uses in place of the published one, with its reason.

    :param value: as written [any]
    :returns: the same [any]

    >>> str(overridden(quantity("4.4", "%vol")).magnitude)
    '22/5'
    """
    return value


@formula(
    title="Strictest rule of the place and activities",
    expression="lowest of the limits; for low oxygen the highest",
    source="rules table, at the paragraph shown",
    valid="rules the table has for the place and the area's activities",
    rounding="as the rule prints it",
)
def strictest_rule(limits: Sequence[Quantity], *, falling: bool = False) -> Quantity:
    """The limit of the strictest rule that applies.

    :param limits: of every rule, as it prints them [%LEL, %vol or ppm]
    :param falling: whether too little is the hazard [yes or no]
    :returns: the strictest [%LEL, %vol or ppm]

    >>> str(strictest_rule([quantity(10, "%LEL"), quantity(20, "%LEL")]).magnitude)
    '10'
    """
    if not limits:
        raise OutOfRangeError("no limit given", "one or more")
    return max(limits) if falling else min(limits)


@formula(
    title="The gas the display is scaled in",
    expression="1",
    source="definition of a response factor",
    valid="the gas that the sensor shows",
    rounding="exact",
)
def unity() -> Quantity:
    """Factor of the gas that a display is scaled in.

    :returns: one [no unit]

    >>> str(unity().magnitude)
    '1'
    """
    return quantity(1, "")


@formula(
    id="origin.molar-mass",
    title="Molar mass from the molecular formula",
    expression="M = Σ nᵢ × Aᵢ",
    source="CIAAW standard atomic weights, abridged or conventional values",
    valid="molecular formulas of elements in the library's table of atomic weights",
    rounding="to nearest",
)
def molar_mass_of(molecule: str) -> Quantity:
    """Mass of one mole of a substance.

    :param molecule: molecular formula, such as H2S [text]
    :returns: molar mass [g/mol]

    >>> str(molar_mass_of("H2S").magnitude)
    '8519/250'
    """
    return quantity(molar_mass(molecule), "g/mol")


@formula(
    id="origin.day",
    title="A day as stated",
    expression="day",
    source="the site's own content, or the day of the build",
    valid="any day",
    rounding="exact",
)
def day_stated(day: date) -> date:
    """A day that the content or the build states.

    :param day: as stated [date]
    :returns: the same [date]

    >>> day_stated(date(2026, 11, 25))
    datetime.date(2026, 11, 25)
    """
    return day
