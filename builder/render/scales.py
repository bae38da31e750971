"""Axes of charts: which numbers are written along them, and where a number lies."""

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction

from builder.base.record import dataclass
from builder.base.rounding import grouped_digits, plain

LEADS = (1, 2, 5)
"""Steps a person counts in without thinking."""
CLOSE = (1, Fraction(3, 2), 2, 3, 4, 5, 6, 8)
"""Steps of a logarithmic axis that spans less than a decade."""
FULL_DECADES = 3
"""Up to so many decades a logarithmic axis ends at a lead of its own; beyond, at whole decades."""


@dataclass(frozen=True, slots=True)
class Scale:
    """From a number to a place in millimetres, straight or logarithmic."""

    low: Fraction
    high: Fraction
    start: float
    """Place of ``low``."""
    end: float
    """Place of ``high``."""
    log: bool = False

    def at(self, value: Fraction) -> float:
        """The place of a number; the axis is made to hold it."""
        if self.log:
            share = math.log10(value / self.low) / math.log10(self.high / self.low)
        else:
            share = float((value - self.low) / (self.high - self.low))
        return self.start + share * (self.end - self.start)


@dataclass(frozen=True, slots=True)
class Tick:
    """A number along an axis."""

    value: Fraction
    text: str
    """Empty for a line without number."""


def text_of(value: Fraction) -> str:
    """A number as ticks have it, thousands grouped.

    >>> text_of(Fraction(2000)), text_of(Fraction("0.5"))
    ('2000', '0.5')
    """
    return grouped_digits(plain(value))


def step_of(span: Fraction, most: int) -> Fraction:
    """The least of 1, 2, 5, 10 ... times a power of ten that cuts ``span`` into at most ``most`` parts.

    >>> step_of(Fraction(100), 5), step_of(Fraction(23), 6)
    (Fraction(20, 1), Fraction(5, 1))
    """
    return next(step for step in leads(span / most) if step * most >= span)


def leads(least: Fraction, of: Sequence[Fraction | int] = LEADS) -> Iterator[Fraction]:
    """1, 2, 5, 10 ... without end, the first at most ``least``."""
    power = Fraction(1)
    while power > least:
        power /= 10
    while power * 10 <= least:
        power *= 10
    while True:
        yield from (power * lead for lead in of)
        power *= 10


def linear_ticks(values: Sequence[Fraction], most: int, *, zoomed: bool = False) -> list[Tick]:
    """Ticks from zero, or from below the least value, to beyond the largest; the outer ones end the axis."""
    held = values if zoomed else (Fraction(0), *values)
    low, high = min(held), max(held)
    step = step_of(high - low or Fraction(1), most)
    first, last = math.floor(low / step), max(math.ceil(high / step), math.floor(low / step) + 1)
    return [Tick(step * number, text_of(step * number)) for number in range(first, last + 1)]


def log_ticks(values: Sequence[Fraction], most: int) -> list[Tick]:
    """Ticks at 1, 2, 5 of each decade; where there is no room for all numbers, only whole decades bear one."""
    low, high = min(values), max(values)
    wide = high > low * 10**FULL_DECADES
    steps = leads(low, LEADS if high > 10 * low else CLOSE)
    marks = [next(steps)]
    while len(marks) == 1 or marks[-1] < high or (wide and not whole_decade(marks[-1])):
        marks.append(next(steps))
    while not wide and len(marks) > 2 and marks[1] <= low:  # noqa: PLR2004 - an axis has two ends
        del marks[0]
    every = len(marks) <= most
    return [Tick(mark, text_of(mark) if every or whole_decade(mark) else "") for mark in marks]


def whole_decade(value: Fraction) -> bool:
    """Whether a number is 1, 10, 100 ... or 0.1, 0.01 ...

    >>> whole_decade(Fraction(1000)), whole_decade(Fraction("0.01")), whole_decade(Fraction(50))
    (True, True, False)
    """
    larger = value if value >= 1 else 1 / value
    return larger.denominator == 1 and str(larger.numerator).rstrip("0") == "1"


def spread(wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> list[float]:
    """Centres for labels that keep off each other, in the order given, each as near its wanted place as may be.

    ``wanted`` need not be sorted. When they fill more than there is, they run over the bottom.
    """
    order = sorted(range(len(wanted)), key=lambda index: (wanted[index], index))
    groups: list[list[int]] = []
    for index in order:
        group = [index]
        while groups and _end(groups[-1], wanted, heights, top, bottom) > _begin(group, wanted, heights, top, bottom):
            group = groups.pop() + group
        groups.append(group)
    placed = [0.0] * len(wanted)
    for group in groups:
        place = _begin(group, wanted, heights, top, bottom)
        for index in group:
            placed[index] = place + heights[index] / 2
            place += heights[index]
    return placed


def _begin(group: Sequence[int], wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> float:
    """Upper edge of a group of touching labels whose mean offset from their wanted places is least."""
    offset, total = 0.0, 0.0
    for index in group:
        total += wanted[index] - heights[index] / 2 - offset
        offset += heights[index]
    return max(top, min(total / len(group), bottom - offset))


def _end(group: Sequence[int], wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float) -> float:
    return _begin(group, wanted, heights, top, bottom) + sum(heights[index] for index in group)
