"""Averages over time, mixtures against their limits, and how long until an average is reached."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.inputs import amount, amounts, exposure_kind, same_length
from builder.figures.formulas.registry import formula

SHIFT = 8  # h, reference period: 29 CFR 1910.1000(d)(1)(i)
SHORT_TERM = 15  # min, reference period: 29 CFR 1910.1028(c)(2) (benzene); EH40/2005
DAY = 24  # h


def _dose(concentrations: Sequence[Quantity], durations: Sequence[Quantity]) -> tuple[Fraction, Fraction, str]:
    """Sum of concentration by hours, the hours, and the unit."""
    same_length(concentrations, durations, "concentrations and durations")
    hours = amounts(durations, "h", "duration")
    unit = exposure_kind(concentrations[0])
    parts = amounts(concentrations, unit, "concentration")
    if sum(hours) > DAY:
        raise OutOfRangeError(f"durations sum to {plain(sum(hours, Fraction(0)))} h", "at most 24 h")
    return sum((c * t for c, t in zip(parts, hours, strict=True)), Fraction(0)), sum(hours, Fraction(0)), unit


@formula(
    title="8-hour time-weighted average",
    expression="TWA = Σ(C × T) / 8 h",
    source="29 CFR 1910.1000(d)(1)(i)",
    valid="one working day of at most 24 h; time not listed counts as free of the gas; the divisor is always 8 h",
    rounding="up: it is a hazard",
)
def twa_8h(concentrations: Sequence[Quantity], durations: Sequence[Quantity]) -> Quantity:
    """Exposure of a working day as if spread over eight hours.

    :param concentrations: constant during each period [ppm, %vol or mg/m3]
    :param durations: of the periods, in the same order [h, min or s]
    :returns: average over 8 h [ppm, %vol or mg/m3]

    >>> levels, hours = (150, 75, 50), (2, 2, 4)
    >>> twa = twa_8h([quantity(c, "ppm") for c in levels], [quantity(t, "h") for t in hours])
    >>> float(twa.magnitude)
    81.25
    """
    dose, _, unit = _dose(concentrations, durations)
    return quantity(dose / SHIFT, unit)


@formula(
    title="Average over the time that has passed",
    expression="average = Σ(C × T) / ΣT",
    source="definition of a time-weighted average",
    valid="at most 24 h, more than none; not to be compared with an 8-hour limit unless 8 h have passed",
    rounding="up: it is a hazard",
)
def average(concentrations: Sequence[Quantity], durations: Sequence[Quantity]) -> Quantity:
    """Average over the elapsed time, as some instruments show it.

    :param concentrations: constant during each period [ppm, %vol or mg/m3]
    :param durations: of the periods, in the same order [h, min or s]
    :returns: average over the elapsed time [ppm, %vol or mg/m3]

    >>> average([quantity(10, "ppm"), quantity(20, "ppm")], [quantity(1, "h"), quantity(1, "h")])
    Quantity(magnitude=Fraction(15, 1), unit='ppm')
    """
    dose, hours, unit = _dose(concentrations, durations)
    if hours == 0:
        raise OutOfRangeError("durations sum to 0 h", "above 0 h")
    return quantity(dose / hours, unit)


@formula(
    title="Highest 15-minute average",
    expression="STEL = largest of the means over 15 min that slide along the log",
    source="29 CFR 1910.1028(c)(2) and EH40/2005: short-term limits are 15-minute averages",
    valid="evenly spaced log of at least 15 min; its interval divides 15 min",
    rounding="up: it is a hazard",
)
def stel_max(samples: Sequence[Quantity], interval: Quantity) -> Quantity:
    """Highest average of any fifteen minutes of a log whose samples each stand for one interval.

    :param samples: the log, in order [ppm, %vol or mg/m3]
    :param interval: time that one sample stands for [s or min]
    :returns: highest 15-minute average [ppm, %vol or mg/m3]

    >>> log = [quantity(c, "ppm") for c in (0, 30, 60, 0)]
    >>> stel_max(log, quantity(5, "min"))
    Quantity(magnitude=Fraction(30, 1), unit='ppm')
    """
    count = SHORT_TERM / amount(interval, "min", "interval", above=0, high=SHORT_TERM)
    if count.denominator != 1:
        raise OutOfRangeError(f"15 min hold {plain(count)} intervals", "a whole number")
    if len(samples) < count:
        raise OutOfRangeError(f"the log holds {len(samples)} samples", f"at least {count}, for 15 min")
    unit = exposure_kind(samples[0])
    values = amounts(samples, unit, "sample")
    window = count.numerator
    dose = highest = sum(values[:window], Fraction(0))
    for gone, come in zip(values, values[window:], strict=False):
        dose += come - gone
        highest = max(highest, dose)
    return quantity(highest / window, unit)


@formula(
    title="Highest value of a log",
    expression="peak = largest sample",
    source="29 CFR 1910.1000(a)(1): a ceiling is not exceeded at any time",
    valid="between samples it may have been higher",
    rounding="up: it is a hazard",
)
def peak(samples: Sequence[Quantity]) -> Quantity:
    """Highest sample, to be compared with a ceiling.

    :param samples: the log [ppm, %vol or mg/m3]
    :returns: highest sample [ppm, %vol or mg/m3]

    >>> peak([quantity(3, "ppm"), quantity(9, "ppm")])
    Quantity(magnitude=Fraction(9, 1), unit='ppm')
    """
    if not samples:
        raise OutOfRangeError("no sample given", "one or more")
    unit = exposure_kind(samples[0])
    return quantity(max(amounts(samples, unit, "sample")), unit)


@formula(
    title="Exposure to a mixture against its limits",
    expression="Em = Σ(C / L); over 1 exceeds the limit of the mixture",
    source="29 CFR 1910.1000(d)(2)(i)",
    valid="substances of like effect; C and L of one kind (both 8 h, or both ceiling) and one unit a substance",
    rounding="up: it is a hazard",
)
def mixture_index(concentrations: Sequence[Quantity], limits: Sequence[Quantity]) -> Quantity:
    """Sum of the exposures as parts of their limits.

    :param concentrations: of each substance [ppm, %vol or mg/m3]
    :param limits: of each substance, in the same order and dimension [ppm, %vol or mg/m3]
    :returns: sum of the parts [1]

    >>> found, limits = (500, 45, 40), (1000, 200, 200)
    >>> index = mixture_index([quantity(c, "ppm") for c in found], [quantity(c, "ppm") for c in limits])
    >>> float(index.magnitude)
    0.925
    """
    same_length(concentrations, limits, "concentrations and limits")
    if not limits:
        raise OutOfRangeError("no substance given", "one or more")
    units = [exposure_kind(limit) for limit in limits]
    parts = zip(concentrations, limits, units, strict=True)
    total = sum(
        (amount(c, unit, "concentration", low=0) / amount(limit, unit, "limit", above=0) for c, limit, unit in parts),
        Fraction(0),
    )
    return quantity(total, "")


def _time(
    concentration: Quantity,
    limit: Quantity,
    never_above: Quantity | None,
    period: Fraction,
    longest: Fraction,
    unit: str,
) -> Quantity:
    """Time in which a steady concentration fills ``limit`` held over ``period``."""
    kind = exposure_kind(limit)
    top = None if never_above is None else amount(never_above, kind, "value never to be passed", above=0)
    steady = amount(concentration, kind, "concentration", low=0, high=top)
    allowed = amount(limit, kind, "limit", above=0)
    if steady * longest < period * allowed:
        raise OutOfRangeError(f"the limit is not reached within {plain(longest)} {unit}", "a higher value")
    return quantity(period * allowed / steady, unit)


@formula(
    title="Time until the 8-hour average is reached",
    expression="t = 8 h × L / C",
    source="29 CFR 1910.1000(d)(1)(i), solved for the time",
    valid="steady concentration not above a ceiling or what is dangerous to life, none before, reached within 24 h",
    rounding="down: it is time allowed",
)
def time_to_twa(concentration: Quantity, limit: Quantity, never_above: Quantity | None = None) -> Quantity:
    """How long one may stay in a steady concentration before the day's average is used up.

    :param concentration: steady [ppm, %vol or mg/m3]
    :param limit: 8-hour average not to be exceeded [ppm, %vol or mg/m3]
    :param never_above: ceiling or value dangerous to life, above which no time is told [ppm, %vol or mg/m3]
    :returns: time [h]

    >>> time_to_twa(quantity(100, "ppm"), quantity(50, "ppm"))
    Quantity(magnitude=Fraction(4, 1), unit='h')
    """
    return _time(concentration, limit, never_above, Fraction(SHIFT), Fraction(DAY), "h")


@formula(
    title="Time until the 15-minute average is reached",
    expression="t = 15 min × L / C",
    source="29 CFR 1910.1028(c)(2) and EH40/2005: a 15-minute average, solved for the time",
    valid="steady concentration at or above the limit, not above a ceiling or what is dangerous to life, none before",
    rounding="down: it is time allowed",
)
def time_to_stel(concentration: Quantity, limit: Quantity, never_above: Quantity | None = None) -> Quantity:
    """How long one may stay in a steady concentration before the short-term average is used up.

    :param concentration: steady [ppm, %vol or mg/m3]
    :param limit: 15-minute average not to be exceeded [ppm, %vol or mg/m3]
    :param never_above: ceiling or value dangerous to life, above which no time is told [ppm, %vol or mg/m3]
    :returns: time [min]

    >>> time_to_stel(quantity(45, "ppm"), quantity(15, "ppm"))
    Quantity(magnitude=Fraction(5, 1), unit='min')
    """
    return _time(concentration, limit, never_above, Fraction(SHORT_TERM), Fraction(SHORT_TERM), "min")


@formula(
    title="Reduction of a limit for long shifts",
    expression="factor = (8 / h) × (24 − h) / 16",
    source="Brief and Scala, American Industrial Hygiene Association Journal 36 (1975) 467-469, daily model",
    valid="8 h to below 24 h a day; a choice of the site, no rule",
    rounding="down: it lowers a limit",
    read=False,
)
def long_shift_factor(hours: Quantity) -> Quantity:
    """By what an 8-hour limit is multiplied when the shift is longer.

    :param hours: length of the working day [h]
    :returns: factor at most 1 [1]

    >>> long_shift_factor(quantity(12, "h"))
    Quantity(magnitude=Fraction(1, 2), unit='')
    """
    day = amount(hours, "h", "working day", low=SHIFT, below=DAY)
    return quantity(SHIFT / day * (DAY - day) / (DAY - SHIFT), "")
