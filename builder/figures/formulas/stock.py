"""Gas in cylinders: how many checks are left, until when, and how much a year takes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount, same_length
from builder.figures.formulas.registry import COMMON_PRACTICE, formula

DENSE = 150
"""Pressure in bar from which on nitrogen and air hold clearly less than an ideal gas would."""
FARTHEST = 36500
"""Days beyond which no run-out is told."""
IDEAL = "ideal gas at constant temperature (Boyle's law)"


@formula(
    title="Gas that can still be drawn from a cylinder",
    expression="V = (p, at most 150 bar, − pmin) × Vw / patm",
    source=IDEAL,
    valid="both pressures gauge or both absolute, up to 300 bar; denser gas is not ideal, so what is above 150 bar is "
    "not counted; hydrogen and helium hold up to 6 % less; not for liquefied gas",
    rounding="down: it is stock",
)
def gas_left(pressure: Quantity, minimum: Quantity, water_volume: Quantity, ambient: Quantity) -> Quantity:
    """Volume at ambient pressure until the cylinder is down to its minimum pressure; nothing when it is there.

    :param pressure: in the cylinder [bar]
    :param minimum: at which it is no longer used, from the certificate [bar]
    :param water_volume: inner volume of the cylinder [L]
    :param ambient: air pressure, absolute [bar]
    :returns: volume at ambient pressure [L]

    >>> left = gas_left(quantity(34, "bar"), quantity(2, "bar"), quantity(1, "L"), quantity(1, "bar"))
    >>> left
    Quantity(magnitude=Fraction(32, 1), unit='L')
    """
    counted = min(amount(pressure, "bar", "pressure", low=0, high=300), Fraction(DENSE))
    usable = counted - amount(minimum, "bar", "minimum pressure", low=0)
    litres = max(usable, Fraction(0)) * amount(water_volume, "L", "water volume", above=0)
    return quantity(litres / amount(ambient, "bar", "ambient pressure", low="0.2", high=2), "L")


@formula(
    title="Checks left in a cylinder",
    expression="n = ⌊gas left / (flow × time)⌋",
    source=IDEAL,
    valid="flow and time as in use, above zero; gas lost in tubing and at the valve is part of the time",
    rounding="down to a whole number: it is stock",
)
def tests_left(gas: Quantity, flow: Quantity, time: Quantity) -> Quantity:
    """How many whole checks the gas in a cylinder is enough for.

    :param gas: that can still be drawn, at ambient pressure [L]
    :param flow: of the regulator [L/min]
    :param time: gas flows in one check [s]
    :returns: whole number of checks [1]

    >>> tests_left(quantity(51, "L"), quantity("0.5", "L/min"), quantity(60, "s"))
    Quantity(magnitude=Fraction(102, 1), unit='')
    """
    one = amount(flow, "L/min", "flow", above=0) * amount(time, "min", "time", above=0)
    return quantity(math.floor(amount(gas, "L", "gas", low=0) / one), "")


@formula(
    title="Last day for which gas is enough",
    expression="day = today + ⌊tests left / tests a day⌋ − 1",
    source=COMMON_PRACTICE,
    valid="today's checks still to be made; each day in the calendar counts; a mean above zero; up to 36500 days",
    rounding="down: a day that is not fully covered does not count",
)
def run_out(tests: Quantity, tests_per_day: Quantity, today: date) -> date:
    """Last day whose checks the cylinder covers; the day before today when it does not cover today.

    :param tests: left in the cylinder [1]
    :param tests_per_day: that are made [1]
    :param today: first day to be covered [date]
    :returns: last day fully covered [date]

    >>> run_out(quantity(102, ""), quantity(10, ""), date(2026, 3, 1))
    datetime.date(2026, 3, 10)
    """
    count = amount(tests, "", "tests left", low=0) / amount(tests_per_day, "", "tests a day", above=0)
    if count > FARTHEST:
        raise OutOfRangeError(f"gas for {math.floor(count)} days", f"at most {FARTHEST} days")
    return today + timedelta(days=math.floor(count) - 1)


@formula(
    title="Last day a cylinder can be used",
    expression="day = earlier of expiry and run-out",
    source="certificate of the gas for its expiry; " + COMMON_PRACTICE + " for the rest",
    valid="expiry is the last day on which the certificate holds; where it says a month, the day before its first",
    rounding="earlier: it is a term",
)
def usable_until(expiry: date, last_covered: date) -> date:
    """Whichever comes first: the gas is out of date, or out.

    :param expiry: last day of the certificate [date]
    :param last_covered: last day for which gas is enough [date]
    :returns: last day of use [date]

    >>> usable_until(date(2027, 3, 31), date(2026, 3, 10))
    datetime.date(2026, 3, 10)
    """
    return min(expiry, last_covered)


@formula(
    title="Gas that recorded checks took",
    expression="V = flow × Σ(checks × time), over the kinds of check",
    source="volume is flow by time",
    valid="checks of later days than the pressure was read on",
    rounding="up: it is gone",
)
def gas_used(counts: Sequence[Quantity], times: Sequence[Quantity], flow: Quantity) -> Quantity:
    """Volume at ambient pressure that checks have taken from a cylinder.

    :param counts: how many checks of each kind [1]
    :param times: gas flows in one check of each kind, in the same order [s]
    :param flow: of the regulator [L/min]
    :returns: volume at ambient pressure [L]

    >>> counts, times = [quantity(10, ""), quantity(1, "")], [quantity(60, "s"), quantity(180, "s")]
    >>> gas_used(counts, times, quantity("0.5", "L/min"))
    Quantity(magnitude=Fraction(13, 2), unit='L')
    """
    same_length(counts, times, "checks and times")
    minutes = sum(
        (
            amount(count, "", "checks", low=0) * amount(time, "min", "time", low=0)
            for count, time in zip(counts, times, strict=True)
        ),
        Fraction(0),
    )
    return quantity(minutes * amount(flow, "L/min", "flow", above=0), "L")


@formula(
    title="Gas left after recorded checks",
    expression="V = gas left when the pressure was read − gas used since, at least nothing",
    source="what is taken is no longer there",
    valid="both at the same ambient pressure",
    rounding="down: it is stock",
)
def gas_now(left: Quantity, used: Quantity) -> Quantity:
    """Volume that can still be drawn after checks made since the pressure was read.

    :param left: when the pressure was read, at ambient pressure [L]
    :param used: by checks since then, at ambient pressure [L]
    :returns: volume at ambient pressure [L]

    >>> gas_now(quantity(34, "L"), quantity(4, "L"))
    Quantity(magnitude=Fraction(30, 1), unit='L')
    """
    rest = amount(left, "L", "gas left", low=0) - amount(used, "L", "gas used", low=0)
    return quantity(max(rest, Fraction(0)), "L")


@formula(
    title="Last day to order a cylinder's successor",
    expression="day = last day of use − lead time",
    source=COMMON_PRACTICE,
    valid="lead time in days, of the longest months and years where it is given in those",
    rounding="earlier: it is a term",
)
def reorder_by(usable: date, lead: Quantity) -> date:
    """When the next cylinder must be ordered so that it is there in time.

    :param usable: last day of use [date]
    :param lead: time an order takes [days]
    :returns: last day to order [date]

    >>> reorder_by(date(2027, 3, 31), quantity(14, "days"))
    datetime.date(2027, 3, 17)
    """
    return usable - timedelta(days=math.ceil(amount(lead, "days", "lead time", low=0, high=3660)))


@formula(
    title="Checks made in a day",
    expression="rate = checks recorded in 28 days / 28",
    source=COMMON_PRACTICE,
    valid="records of the 28 days that end on the day of the handbook",
    rounding="up: it is use",
)
def tests_a_day(tests: Quantity) -> Quantity:
    """How many checks a cylinder has served in a day, on average over four weeks.

    :param tests: recorded in 28 days [1]
    :returns: checks in one day [1]

    >>> tests_a_day(quantity(56, ""))
    Quantity(magnitude=Fraction(2, 1), unit='')
    """
    return quantity(amount(tests, "", "checks", low=0) / 28, "")


@formula(
    title="Gas that a year of checks takes",
    expression="V = units × tests a year × flow × time",
    source="volume is flow by time",
    valid="every unit checked alike; failed checks and repeats come on top",
    rounding="up: it is a need",
)
def yearly_need(units: Quantity, tests_per_year: Quantity, flow: Quantity, time: Quantity) -> Quantity:
    """Volume of check gas in a year.

    :param units: that are checked [1]
    :param tests_per_year: of each unit [1]
    :param flow: of the regulator [L/min]
    :param time: gas flows in one check [s]
    :returns: volume at ambient pressure [L]

    >>> need = yearly_need(quantity(20, ""), quantity(250, ""), quantity("0.5", "L/min"), quantity(60, "s"))
    >>> need
    Quantity(magnitude=Fraction(2500, 1), unit='L')
    """
    tests = amount(units, "", "units", low=0) * amount(tests_per_year, "", "tests a year", low=0)
    return quantity(tests * amount(flow, "L/min", "flow", above=0) * amount(time, "min", "time", above=0), "L")


@formula(
    title="Cylinders to buy for a need",
    expression="n = ⌈need / gas of one cylinder⌉",
    source=COMMON_PRACTICE,
    valid="used up before their expiry",
    rounding="up to a whole number: it is a need",
)
def cylinders_needed(need: Quantity, one: Quantity) -> Quantity:
    """How many full cylinders cover a volume of gas.

    :param need: volume at ambient pressure [L]
    :param one: usable gas of a full cylinder, at ambient pressure [L]
    :returns: whole number of cylinders [1]

    >>> cylinders_needed(quantity(2500, "L"), quantity(58, "L"))
    Quantity(magnitude=Fraction(44, 1), unit='')
    """
    return quantity(math.ceil(amount(need, "L", "need", low=0) / amount(one, "L", "gas of one", above=0)), "")
