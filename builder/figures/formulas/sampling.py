"""Gas drawn through a hose: how long it takes, how long to wait, how many levels to test."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from builder.base.quantity import Quantity, quantity
from builder.figures.formulas.inputs import amount
from builder.figures.formulas.registry import formula

# Circle constant to 30 decimals; rational, so that results are the same on every machine.
PI = Fraction("3.141592653589793238462643383280")
# Seconds for each metre of hose where nothing better is known: HSE safety alert CEMHD1-2020, seen through reports.
SECONDS_PER_METRE = 3
# Exact 4 ft; 29 CFR 1910.146 App. B(4) prints "approximately 4 feet (1.22 m)". The exact foot gives more levels.
LEVEL_SPACING = Fraction("1.2192")

LAYERED_AIR = "29 CFR 1910.146 App. B(4), approximately 4 feet; 4 ft = 1.2192 m exactly"


@formula(
    title="Volume inside a hose",
    expression="V = π d² L / 4",
    source="volume of a cylinder",
    valid="round bore, above zero",
    rounding="up: it makes one wait",
)
def hose_volume(bore: Quantity, length: Quantity) -> Quantity:
    """Dead volume of a sampling hose.

    :param bore: inner diameter [mm]
    :param length: of the hose [m]
    :returns: volume [mL]

    >>> round(float(hose_volume(quantity(3, "mm"), quantity(10, "m")).magnitude), 2)
    70.69
    """
    centimetres = amount(bore, "cm", "bore", above=0)
    return quantity(PI * centimetres**2 / 4 * amount(length, "cm", "length", low=0), "mL")


@formula(
    title="Time for gas to pass a volume",
    expression="t = V / Q",
    source="plug flow: volume divided by flow",
    valid="flow at the far end with the hose on, above zero; leaks, sorption and mixing come on top",
    rounding="up: it makes one wait",
)
def transit_time(volume: Quantity, flow: Quantity) -> Quantity:
    """Time the pump needs to draw a volume through: a hose, a filter, a water trap.

    :param volume: to be drawn through [mL or L]
    :param flow: of the pump [L/min or mL/min]
    :returns: time [s]

    >>> transit_time(quantity(100, "mL"), quantity("0.5", "L/min"))
    Quantity(magnitude=Fraction(12, 1), unit='s')
    """
    litres = amount(volume, "L", "volume", low=0)
    return quantity(60 * litres / amount(flow, "L/min", "flow", above=0), "s")


@formula(
    title="Time to reckon for gas to come through the hose",
    expression="t = max(V / Q, 3 s/m × L)",
    source="HSE safety alert CEMHD1-2020 as reported: 3 s per metre if no better data",
    valid="substances that do not cling to the tube",
    rounding="up: it makes one wait",
    read=False,
)
def draw_time(transit: Quantity, length: Quantity) -> Quantity:
    """The computed transit time, but never less than three seconds for each metre.

    :param transit: computed from volume and flow [s]
    :param length: of the hose [m]
    :returns: time [s]

    >>> draw_time(quantity("8.5", "s"), quantity(10, "m"))
    Quantity(magnitude=Fraction(30, 1), unit='s')
    """
    floor = SECONDS_PER_METRE * amount(length, "m", "length", low=0)
    return quantity(max(amount(transit, "s", "transit time", low=0), floor), "s")


@formula(
    title="Wait before the reading counts",
    expression="wait = time through the hose + T90 + allowances",
    source="29 CFR 1910.146 App. B(3): hold each reading at least the response time, through the hose",
    valid="allowances for filters, traps and clinging substances as the site has measured them",
    rounding="up: it makes one wait",
)
def wait_time(draw: Quantity, t90: Quantity, allowances: Sequence[Quantity] = ()) -> Quantity:
    """How long to hold the hose end at one place before reading the display.

    :param draw: time through the hose [s]
    :param t90: time of the slowest sensor to 90 % of its final reading [s]
    :param allowances: further times, one each [s]
    :returns: wait [s]

    >>> wait_time(quantity(30, "s"), quantity(15, "s"), [quantity(5, "s")])
    Quantity(magnitude=Fraction(50, 1), unit='s')
    """
    extra = sum((amount(value, "s", "allowance", low=0) for value in allowances), Fraction(0))
    return quantity(amount(draw, "s", "draw time", low=0) + amount(t90, "s", "T90", above=0) + extra, "s")


@formula(
    title="A time at the inlet, for gas given at the end of the hose",
    expression="t = time through the hose + time at the inlet",
    source="29 CFR 1910.146 App. B(3): the hose's time comes on top; plug flow",
    valid="the same hose and flow as in use",
    rounding="up for how long gas flows, down for the time within which alarms must sound",
)
def through_hose(draw: Quantity, at_inlet: Quantity) -> Quantity:
    """How long a check with gas takes when the gas comes through the hose.

    :param draw: time through the hose [s]
    :param at_inlet: the time that holds with gas at the inlet [s]
    :returns: time [s]

    >>> through_hose(quantity(45, "s"), quantity(60, "s"))
    Quantity(magnitude=Fraction(105, 1), unit='s')
    """
    return quantity(amount(draw, "s", "draw time", low=0) + amount(at_inlet, "s", "time at the inlet", above=0), "s")


@formula(
    title="Number of levels to test from above",
    expression="n = ⌈depth / 4 ft⌉ + 1",
    source=LAYERED_AIR,
    valid="depth above zero; the top and the bottom are both tested",
    rounding="up: a whole number",
)
def levels(depth: Quantity) -> Quantity:
    """How many places, from the opening to the bottom, are tested before anyone goes down.

    :param depth: of the space [m or ft]
    :returns: number of levels [1]

    >>> levels(quantity(9, "m"))
    Quantity(magnitude=Fraction(9, 1), unit='')
    """
    return quantity(math.ceil(amount(depth, "m", "depth", above=0) / LEVEL_SPACING) + 1, "")


@formula(
    title="Time to test all levels",
    expression="t = n × wait",
    source=LAYERED_AIR,
    valid="one full wait at each level; lowering the hose takes more",
    rounding="up: it makes one wait",
)
def total_time(count: Quantity, wait: Quantity) -> Quantity:
    """Least time for a test from above.

    :param count: number of levels [1]
    :param wait: at each level [s]
    :returns: time [min]

    >>> total_time(quantity(9, ""), quantity(50, "s"))
    Quantity(magnitude=Fraction(15, 2), unit='min')
    """
    return quantity(amount(count, "", "levels", low=1) * amount(wait, "s", "wait", above=0) / 60, "min")


@formula(
    title="Fastest way down",
    expression="v = 4 ft / wait",
    source=f"{LAYERED_AIR}; travel slowed to the probe and the sensor",
    valid="testing about 4 ft ahead in the direction of travel",
    rounding="down: it is a speed limit",
)
def descent_speed(wait: Quantity) -> Quantity:
    """Speed at which the reading still keeps ahead of the person.

    :param wait: before a reading counts [s]
    :returns: speed [m/min]

    >>> round(float(descent_speed(quantity(50, "s")).magnitude), 3)
    1.463
    """
    return quantity(LEVEL_SPACING * 60 / amount(wait, "s", "wait", above=0), "m/min")
