"""Which points a chart has: round numbers that a reader can find along an axis. A choice, no result of a formula."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import count, takewhile

SHARES = tuple(Fraction(20 * part) for part in range(1, 6))
"""Percent of the lower explosive limit."""
COMMON = (Fraction(50), Fraction(100))
"""Parts per million at which all gases stand in one chart."""
LONGEST, SHORTEST = Fraction(1, 3), {"twa": 32, "stel": 15}
"""From a third of a limit over 8 h (a whole day) to the multiple that leaves a quarter of an hour, or one minute."""


def _steps(least: Fraction) -> Iterator[Fraction]:
    """1, 2, 5, 10 ... without end, from at most ``least`` on."""
    power = Fraction(1)
    while power > least:
        power /= 10
    for times in count():
        yield from (power * 10**times * lead for lead in (1, 2, 5))


def concentrations(limit: Fraction, alarm: str, top: Fraction | None) -> list[Fraction]:
    """Round concentrations beside the limit itself; none above what is never to be passed."""
    low, high = (limit * LONGEST if alarm == "twa" else limit), limit * SHORTEST[alarm]
    high = high if top is None else min(high, top)
    grid = takewhile(lambda step: step <= high, _steps(low))
    return sorted(step for step in {limit, *grid} if low <= step <= high)
