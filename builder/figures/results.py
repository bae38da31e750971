"""What a formula answers as exact value and text of a figure, made in one place for building and for checking."""

from datetime import date
from fractions import Fraction
from typing import Any

from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.base.rounding import Rounding, printed_text
from builder.figures.figure import NO_BREAK_SPACE, day_text
from builder.figures.roundings import as_written
from builder.program.interval import Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """A formula's answer, ready to be entered."""

    exact: Fraction | date
    """In the figure's unit; of an interval its count."""
    text: str
    interval: Interval | None = None
    """The interval, where the answer is one."""


def result_of(answer: Any, unit: str, rounding: Rounding | None) -> Result:
    """Exact value and printed text of a formula's answer.

    :param answer: a quantity, a bare number in ``unit``, a day or an interval.
    :param rounding: ``None`` prints a number as it is.
    :raises DimensionError: for a quantity that ``unit`` cannot express.
    """
    if isinstance(answer, date):
        return Result(exact=answer, text=day_text(answer))
    if isinstance(answer, Interval):
        text = answer.text.replace(" ", NO_BREAK_SPACE)
        return Result(exact=Fraction(answer.count), text=text, interval=answer)
    exact = Fraction(answer) if isinstance(answer, int | Fraction) else magnitude(answer, unit)
    return Result(exact=exact, text=printed_text(exact, rounding or as_written(str(exact))))
