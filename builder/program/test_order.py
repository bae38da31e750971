"""The one order of channels on everything that is printed."""

from collections.abc import Iterable
from fractions import Fraction
from functools import cache

from builder.base.errors import HandbookError
from builder.program.sensors import FLAMMABLE, OXYGEN
from builder.reference.library import library

AT_ONCE = ("niosh", "idlh")
"""What tells how little of a gas endangers life at once: list and kind."""


def in_test_order(channels: Iterable[str]) -> tuple[str, ...]:
    """Each channel once, in the order air is tested: oxygen, flammable, then what kills at the least share first.

    Source of the first two: 29 CFR 1910.146 (c)(5)(ii)(C); that toxic gases go by danger to life is common practice, no
    source. Those without such a value come last, by name.

    >>> in_test_order(["carbon-dioxide", "carbon-monoxide", "hydrogen-sulfide", "flammable", "oxygen"])
    ('oxygen', 'flammable', 'hydrogen-sulfide', 'carbon-monoxide', 'carbon-dioxide')
    """
    return tuple(sorted(set(channels), key=lambda name: (*_rank(name), name)))


@cache
def _rank(channel: str) -> tuple[int, Fraction]:
    if channel in (OXYGEN, FLAMMABLE):
        return (OXYGEN, FLAMMABLE).index(channel), Fraction(0)
    try:
        found = library().limit_history(channel, *AT_ONCE)
    except HandbookError:
        return 3, Fraction(0)
    return (2, found[-1].value) if found and found[-1].unit == "ppm" else (3, Fraction(0))
