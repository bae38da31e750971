"""Rounding whose direction is always a stated choice, done once, on exact numbers.

Direction belongs to the figure: toward safety, or ``NEAREST`` for general conversion charts.
Ties and steps are decided on rationals, never on binary floats.
"""

from enum import Enum
from fractions import Fraction
from functools import cache, cached_property, lru_cache

from builder.base.errors import OutOfRangeError
from builder.base.record import dataclass

MOST_DIGITS = 30
"""Significant digits that a rule may ask for; far more than anybody prints, and few enough to be worked out."""


class Direction(Enum):
    """Which way a printed value may lie from the exact one."""

    UP = "up"
    """Printed value is never below the exact one."""
    DOWN = "down"
    """Printed value is never above the exact one."""
    NEAREST = "nearest"
    """Printed value is the closest step; a tie goes away from zero."""


@dataclass(frozen=True, kw_only=True)  # no slots, for its words, which are told of every figure that has it
class Rounding:
    """A rule that makes printed text from an exact value: to a step, or to significant digits."""

    direction: Direction
    """Which way."""
    why: str
    """The reason for the direction, in words a reader understands."""
    step: Fraction | None = None
    """Smallest printed increment, in the printed unit; ``None`` when digits are counted instead."""
    digits: int | None = None
    """Significant digits, used when there is no fixed step."""
    cap: Fraction | None = None
    """Above this the text says "over ..." instead of a value that has no meaning."""

    def __post_init__(self) -> None:
        if (self.step is None) == (self.digits is None):
            raise ValueError("a rounding has either a step or a number of significant digits")
        if self.step is not None and self.step <= 0:
            raise ValueError("a rounding step is positive")
        if self.digits is not None and not 1 <= self.digits <= MOST_DIGITS:
            raise ValueError(f"significant digits are 1 to {MOST_DIGITS}")

    def step_for(self, value: Fraction) -> Fraction:
        """The step that applies to ``value``: the fixed one, or the power of ten its digits ask for."""
        if self.step is not None:
            return self.step
        if self.digits is None:
            raise ValueError("a rounding has either a step or a number of significant digits")
        if value == 0:
            return Fraction(1)
        return power_of_ten(leading_exponent(value) - self.digits + 1)

    def apply(self, value: Fraction) -> Fraction:
        """The rounded value, a whole number of steps.

        >>> safe = Rounding(direction=Direction.DOWN, why="rising alarm", step=Fraction(1))
        >>> safe.apply(Fraction(100, 19))
        Fraction(5, 1)
        """
        return round_to_step(value, self.step_for(value), self.direction)

    def __repr__(self) -> str:
        return self._written

    @cached_property
    def _written(self) -> str:
        """All of it, made once, since the hash of every figure that has it asks for it."""
        return f"Rounding({self.direction.value}, {self.step}, {self.digits}, {self.cap}, {self.why!r})"

    @cached_property
    def words(self) -> str:
        """The rule in words, as the derivation prints it."""
        how = {"up": "up", "down": "down", "nearest": "to nearest"}[self.direction.value]
        what = f"step {plain(self.step)}" if self.step is not None else f"{self.digits} significant digits"
        cap = f"; above {plain(self.cap)} printed as over" if self.cap is not None else ""
        return f"rounded {how}, {what} ({self.why}){cap}"

    @cached_property
    def short_words(self) -> str:
        """The same without its reason, for where that is told already."""
        return self.words.replace(f" ({self.why})", "", 1)


def round_to_step(value: Fraction, step: Fraction, direction: Direction) -> Fraction:
    """``value`` as a whole number of ``step``, in the stated direction; exact steps stay what they are."""
    over, under = value.numerator * step.denominator, value.denominator * step.numerator  # steps in the value
    if direction is Direction.UP:
        steps = -(-over // under)
    elif direction is Direction.DOWN:
        steps = over // under
    else:
        steps = (2 * abs(over) + under) // (2 * under) * (1 if over >= 0 else -1)
    return Fraction(steps * step.numerator, step.denominator)


def leading_exponent(value: Fraction) -> int:
    """Power of ten of the first significant digit: 0 for 1 to 9.99, -1 for 0.1 to 0.99; exact."""
    if value == 0:
        raise OutOfRangeError("zero has no significant digit")
    over, under = abs(value.numerator), value.denominator
    exponent = len(str(over)) - len(str(under))
    least = power_of_ten(exponent)  # the quotient has that digit or the one after it
    return exponent if over * least.denominator >= under * least.numerator else exponent - 1


@cache
def power_of_ten(exponent: int) -> Fraction:
    """Exact, also below one."""
    return Fraction(10**exponent) if exponent >= 0 else Fraction(1, 10**-exponent)


def decimals_of(step: Fraction) -> int:
    """Decimal places needed to write every multiple of ``step``.

    :raises OutOfRangeError: when no finite number of decimals does (1/3).
    """
    places = _places_of(step.denominator)
    if places is None:
        raise OutOfRangeError(f"step {step} cannot be written as a decimal")
    return places


@lru_cache(maxsize=1 << 12)
def _places_of(denominator: int) -> int | None:
    """Decimal places of what is divided by it, ``None`` where no finite number of them does."""
    rest, places = denominator, 0
    for prime in (2, 5):
        times = 0
        while rest % prime == 0:
            rest //= prime
            times += 1
        places = max(places, times)
    return places if rest == 1 else None


def plain(value: Fraction | None, places: int | None = None) -> str:
    """A rational as decimal text without grouping; ``places`` fixes the decimals.

    A value that has no finite decimal form is written with twelve significant digits.
    """
    if value is None:
        return ""
    if places is None:
        places = _places_of(value.denominator)
        if places is None:
            places = max(0, 11 - leading_exponent(value))
    over, under = value.numerator * 10**places, value.denominator
    scaled = (2 * abs(over) + under) // (2 * under)  # to nearest
    digits = str(scaled).rjust(places + 1, "0")
    sign = "-" if over < 0 < scaled else ""
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)


THIN_SPACE = "\u202f"


def grouped_digits(text: str) -> str:
    """Decimal text with groups of three before the point, from five digits on (ISO 80000-1 practice)."""
    sign = "\N{MINUS SIGN}" if text.startswith("-") else ""
    whole, point, part = text.lstrip("-").partition(".")
    if len(whole) > 4:  # noqa: PLR2004 - four digits stay together
        head = len(whole) % 3
        groups = ([whole[:head]] if head else []) + [whole[i : i + 3] for i in range(head, len(whole), 3)]
        whole = THIN_SPACE.join(groups)
    return sign + whole + point + part


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number as it is printed, in parts that another language puts together in its own way."""

    digits: str
    """In groups of three, with a decimal point."""
    over: bool = False
    """Whether the value lies over them, since it is above the cap of its rounding."""

    @property
    def text(self) -> str:
        """The whole, in English."""
        return f"over {self.digits}" if self.over else self.digits


def numeral(value: Fraction, rounding: Rounding) -> Numeral:
    """``value`` as it is printed under ``rounding``."""
    if rounding.cap is not None and value > rounding.cap:
        return Numeral(grouped_digits(plain(rounding.cap)), over=True)
    step = rounding.step_for(value)
    rounded = round_to_step(value, step, rounding.direction)
    return Numeral(grouped_digits(plain(rounded, decimals_of(step))))


def printed_text(value: Fraction, rounding: Rounding) -> str:
    """The text that reaches a reader for ``value`` under ``rounding``."""
    return numeral(value, rounding).text
