"""How much of a liquid is in the air over it."""

from __future__ import annotations

from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, quantity
from builder.base.rounding import plain
from builder.figures.formulas.inputs import amount, exponential, logarithm, power
from builder.figures.formulas.registry import formula


@formula(
    id="vapour.pressure",
    title="Vapour pressure of a liquid",
    expression="p = exp(a + b / T + c ln T + d T^e), p in Pa, T in K",
    source="DIPPR equation 101, as used in Table 2-8 of Perry's Chemical Engineers' Handbook, 8th edition",
    valid="pure liquid, between the lowest and highest temperature of its coefficients",
    rounding="up: it makes a hazard",
)
def vapour_pressure(
    temperature: Quantity,
    a: Quantity,
    b: Quantity,
    c: Quantity,
    d: Quantity,
    e: Quantity,
    coldest: Quantity,
    hottest: Quantity,
) -> Quantity:
    """Pressure of the vapour over a pure liquid, from the coefficients of its table.

    :param temperature: of the liquid [°C or K]
    :param a: first coefficient [1]
    :param b: second coefficient [K]
    :param c: third coefficient [1]
    :param d: fourth coefficient, with T in K [1]
    :param e: fifth coefficient, the power of T [1]
    :param coldest: lowest temperature of the fit [K]
    :param hottest: highest temperature of the fit [K]
    :returns: vapour pressure [kPa]

    >>> fit = [quantity(number, "") for number in ("76.945", "-8.179", "0.0000053017", "2")]
    >>> toluene = fit[0], quantity("-6729.8", "K"), *fit[1:]
    >>> found = vapour_pressure(quantity(20, "°C"), *toluene, quantity("178.18", "K"), quantity("591.75", "K"))
    >>> round(float(found.magnitude), 2)
    2.93
    """
    low, high = amount(coldest, "K", "coldest", above=0), amount(hottest, "K", "hottest", above=0)
    if high <= low:
        raise OutOfRangeError(f"hottest is {plain(high)} K", f"above {plain(low)} K")
    kelvin = amount(temperature, "K", "temperature", low=low, high=high)
    terms = (
        amount(a, "", "a"),
        amount(b, "K", "b") / kelvin,
        amount(c, "", "c") * logarithm(kelvin),
        amount(d, "", "d") * power(kelvin, amount(e, "", "e")),
    )
    return quantity(exponential(sum(terms, Fraction(0))) / 1000, "kPa")
