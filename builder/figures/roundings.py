"""The rounding rules in use, each with the reason for its direction (it belongs to the figure, never to the number)."""

import re
from collections.abc import Callable
from fractions import Fraction
from functools import cache, lru_cache

from builder.base.rounding import Direction, Rounding


@lru_cache(maxsize=1 << 12)
def as_written(text: str) -> Rounding:
    """As many decimals as the author or the source wrote."""
    match = re.search(r"\d+(?:[.,](\d+))?", text)
    return _to_places(len(match[1] or "") if match else 0)


@cache
def _to_places(places: int) -> Rounding:
    return Rounding(direction=Direction.NEAREST, step=Fraction(1, 10**places), why="printed as written")


def chart(digits: int = 3) -> Rounding:
    """General conversions: to nearest, and said so."""
    return Rounding(direction=Direction.NEAREST, digits=digits, why="a conversion, to nearest")


def away_from_zero(what: str) -> Callable[[Fraction], Rounding]:
    """What lies off to either side: ``what`` it is, in words, is never printed smaller than it is."""
    ways = {
        side: Rounding(direction=side, digits=2, why=f"{what} is never printed smaller than it is")
        for side in (Direction.UP, Direction.DOWN)
    }
    return lambda value: ways[Direction.DOWN if value < 0 else Direction.UP]


def limit_down(digits: int = 3) -> Rounding:
    """A limit in another unit: never looser than the list."""
    return Rounding(direction=Direction.DOWN, digits=digits, why="a limit is never printed looser than it is")


def rising_alarm(step: Fraction) -> Rounding:
    """A rising-gas or high-oxygen alarm, to what the instrument can be set to."""
    return Rounding(direction=Direction.DOWN, step=step, why="a rising alarm sounds earlier, never later")


def falling_alarm(step: Fraction) -> Rounding:
    """A low-oxygen alarm."""
    return Rounding(direction=Direction.UP, step=step, why="a falling alarm sounds earlier, never later")


def hazard(step: Fraction, cap: Fraction | None = None) -> Rounding:
    """A corrected reading of a hazard."""
    return Rounding(direction=Direction.UP, step=step, cap=cap, why="a hazard is never printed smaller than it is")


def hazard_digits(digits: int) -> Rounding:
    """A concentration of a hazard, to the digits its source supports."""
    return Rounding(direction=Direction.UP, digits=digits, why="a hazard is never printed smaller than it is")


def wait(step: Fraction) -> Rounding:
    """A time to wait."""
    return Rounding(direction=Direction.UP, step=step, why="a wait is never printed shorter than it is")


def stock() -> Rounding:
    """What is left: whole numbers, down."""
    return Rounding(direction=Direction.DOWN, step=Fraction(1), why="stock is never printed larger than it is")


def window_bottom(step: Fraction) -> Rounding:
    """Lower edge of an acceptance window."""
    return Rounding(direction=Direction.UP, step=step, why="an acceptance window is rounded inward")


def window_top(step: Fraction) -> Rounding:
    """Upper edge of an acceptance window."""
    return Rounding(direction=Direction.DOWN, step=step, why="an acceptance window is rounded inward")


def display(step: Fraction) -> Rounding:
    """What a display will show: to nearest step."""
    return Rounding(direction=Direction.NEAREST, step=step, why="as a display shows it, to nearest")


def speed() -> Rounding:
    """A speed not to be passed."""
    return Rounding(direction=Direction.DOWN, digits=2, why="a speed limit is never printed higher than it is")


def count_up() -> Rounding:
    """A number of places to test."""
    return Rounding(direction=Direction.UP, step=Fraction(1), why="never fewer tests than needed")
