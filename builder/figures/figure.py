"""The figure: a number with its key, its exact value, its printed text and its whole derivation."""

from __future__ import annotations

import re
from datetime import date, datetime, time
from fractions import Fraction

from builder.base.quantity import Quantity, printed_unit, quantity
from builder.base.record import dataclass
from builder.base.rounding import Numeral, Rounding, grouped_digits, numeral, plain
from builder.base.where import Where
from builder.figures.values import Value
from builder.program.interval import Interval

NO_BREAK_SPACE = "\u00a0"
EXACT, PRINTED = "exact", "printed"
"""How a figure is taken by the formula of another: not rounded, or as a person set or read it."""
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_text(day: date) -> str:
    """A date no reader can turn round: ``25 Nov 2026``."""
    return NO_BREAK_SPACE.join((str(day.day), MONTHS[day.month - 1], str(day.year)))


def moment_text(moment: datetime | date | None) -> str:
    """A moment by the clock it was written with, as in ``14 Sep 2026, 07:00``; a day alone, or midnight, as a day."""
    if moment is None:
        return ""
    if isinstance(moment, datetime):
        hour = f", {moment:%H:%M}" if moment.time() != time.min else ""
        return f"{day_text(moment.date())}{hour}"
    return day_text(moment)


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One thing a figure was made from: another figure, a content line, or a published table."""

    label: str
    """What it is, as in "response factor"."""
    text: str
    """Its value as written or printed, with unit."""
    figure: str = ""
    """Key of the figure it is, or empty."""
    where: Where | None = None
    """Content line it stands on, or ``None``."""
    source: str = ""
    """Citation of the published table it is from, or empty."""
    read: bool = True
    """False when the value was not read in its source; such a value never decides a ``stop``."""
    decides: bool = True
    """False when it is shown for comparison and the figure does not rest on it."""
    parameter: str = ""
    """Argument of the formula that it is; empty for what only explains or is shown for comparison."""
    taken: str = ""
    """Of a figure that is an argument: ``exact`` or ``printed``."""
    value: Value = None
    """Of any other argument: what the formula was asked with; ``None`` for an argument that has no value."""

    def argument(self, parameter: str, text: str, value: Value) -> Input:
        """The same as an argument of the formula; made for every argument of every figure, so without ``replace``."""
        return Input(
            label=self.label,
            text=text,
            figure=self.figure,
            where=self.where,
            source=self.source,
            read=self.read,
            decides=self.decides,
            parameter=parameter,
            taken=self.taken,
            value=value,
        )

    @property
    def rounded(self) -> str:
        """Said behind its value where that went in as printed; else the exact value did."""
        return ", as printed" if self.taken == "printed" else ""

    @property
    def seen(self) -> str:
        """Its value for a page: a day that its author wrote in digits with points or strokes is spelled there."""
        turned = isinstance(self.value, date) and re.match(r"\d{1,2}[./-]\d{1,2}[./-]", self.text)
        return day_text(self.value) if turned and isinstance(self.value, date) else self.text


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number that reaches a reader."""

    key: str
    """Stable dotted key, guessable: ``gas.methane.lel``."""
    label: str
    """What it is, in a few words, without the number."""
    exact: Fraction | date
    """Exact magnitude in ``unit``, or a date."""
    unit: str
    """Unit spelling of ``builder.base.quantity.UNITS``; empty for counts, factors and dates."""
    text: str
    """The printed number or date, without its unit."""
    rounding: Rounding | None
    """The rule that made ``text``; ``None`` for dates and whole counts printed as they are."""
    formula: str
    """Id of the formula in the registry."""
    inputs: tuple[Input, ...]
    """What it was made from."""
    source: str
    """Citation of the formula or of the value itself."""
    relation: str = ""
    """Relation sign of a limit: ``<``, ``≤``, ``>``, ``≥``; empty for a plain value."""
    note: str = ""
    """What the number assumes, where that can hurt."""
    read: bool = True
    """False when any value it rests on was not read in its source."""
    part: int | None = None
    """Which of the formula's several answers it is; ``None`` where there is one."""
    interval: Interval | None = None
    """The interval whose count ``exact`` is; ``None`` for numbers and dates."""

    @property
    def value(self) -> Quantity | date | Interval:
        """What a formula is asked with that takes the figure exact."""
        if self.interval is not None:
            return self.interval
        return self.exact if isinstance(self.exact, date) else self.amount

    @property
    def printed(self) -> str:
        """Relation, number and unit as a reader sees them, held together by no-break spaces."""
        parts = [self.relation, self.text, printed_unit(self.unit)]
        return NO_BREAK_SPACE.join(part for part in parts if part)

    @property
    def number(self) -> Fraction:
        """The exact magnitude in ``unit``.

        :raises TypeError: for a date.
        """
        if isinstance(self.exact, date):
            raise TypeError(f"{self.key} is a date")
        return self.exact

    @property
    def numeral(self) -> Numeral:
        """The number as it is printed, in parts.

        :raises TypeError: for a date.
        """
        return numeral(self.number, self.rounding) if self.rounding else Numeral(grouped_digits(plain(self.number)))

    @property
    def rounded(self) -> Fraction:
        """The exact value of what is printed.

        :raises TypeError: for a date.
        """
        return self.rounding.apply(self.number) if self.rounding else self.number

    @property
    def amount(self) -> Quantity:
        """The exact quantity.

        :raises TypeError: for a date.
        """
        return quantity(self.number, self.unit)

    @property
    def printed_amount(self) -> Quantity:
        """The quantity that is really printed, set or waited: the exact one, rounded by the figure's rule.

        :raises TypeError: for a date.
        """
        return quantity(self.rounded, self.unit)
