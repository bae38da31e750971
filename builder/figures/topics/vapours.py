"""What liquids and warm gases can do: vapour pressure, the highest concentration, limits above room temperature."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, magnitude, quantity
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.figures.formulas import flammability, vapour
from builder.figures.recorder import FigureRecorder, of
from builder.figures.roundings import hazard_digits, limit_down
from builder.program.areas import Area
from builder.program.gases import Gas
from builder.reference.formula import parse_formula
from builder.reference.vapour import VapourFit, vapour_fit

UNITS = ("", "K", "", "", "")
"""Unit of each coefficient."""
ROOM = 25
"""Temperature in °C at which published explosive limits hold."""
STILL = "still air over the pure liquid; mist, foam and hot spots can exceed it"


def compute(recorder: FigureRecorder) -> None:
    """Enter ``gas.<gas>.vapour-pressure`` and what follows from it, for the site and for areas of their own warmth."""
    here = recorder.ledger["site.temperature"]
    for gas in recorder.program.gases.values():
        _reach(recorder, gas, f"gas.{gas.id}", here, "at the temperature of the site")
    for area in recorder.program.areas.values():
        own = recorder.ledger.get(f"area.{area.id}.temperature")
        for hazard in area.hazards:
            gas = recorder.program.gases[hazard.gas.value]
            if own is not None:
                _reach(recorder, gas, f"area.{area.id}.{gas.id}", own, f"at the temperature of {area.name}")
            _warm(recorder, gas, area, own or here)


def pressure_over(fit: VapourFit, temperature: Quantity) -> Quantity:
    """Vapour pressure of a liquid at a temperature.

    :raises OutOfRangeError: outside the temperatures of its coefficients.
    """
    a, b, c, d, e = (quantity(number, unit) for number, unit in zip(fit.coefficients, UNITS, strict=True))
    coldest, hottest = quantity(fit.coldest, "K"), quantity(fit.hottest, "K")
    return vapour.vapour_pressure(temperature, a, b, c, d, e, coldest, hottest)


def _reach(recorder: FigureRecorder, gas: Gas, key: str, temperature: Figure, when: str) -> None:
    fit, air = vapour_fit(gas.entry.id), recorder.ledger.get("site.pressure")
    if fit is None or air is None:
        return
    with suppress(OutOfRangeError):  # outside the range of the coefficients there is no figure
        pressed = recorder.number(
            f"{key}.vapour-pressure",
            f"Vapour pressure of {gas.name} {when}",
            pressure_over(fit, temperature.amount),
            "kPa",
            hazard_digits(3),
            vapour.vapour_pressure,
            [of(temperature), _coefficients(fit)],
            note="other tables differ from it by up to 5 %",
        )
        _highest(recorder, gas, key, (pressed, air), when)


def _highest(recorder: FigureRecorder, gas: Gas, key: str, pressures: Sequence[Figure], when: str) -> None:
    pressed, air = pressures
    recorder.number(
        f"{key}.highest-vapour",
        f"Highest concentration of {gas.name} {when}",
        flammability.highest_vapour(pressed.amount, air.amount),
        "%vol",
        hazard_digits(2),
        flammability.highest_vapour,
        [of(pressed), of(air)],
        note=STILL,
    )
    lel = recorder.ledger.get(f"gas.{gas.id}.lel")
    if lel is not None:
        recorder.number(
            f"{key}.reachable-lel",
            f"Highest share of its LEL that {gas.name} can reach {when}",
            flammability.reachable_lel(pressed.amount, air.amount, lel.amount),
            "%LEL",
            hazard_digits(2),
            flammability.reachable_lel,
            [of(pressed), of(air), of(lel)],
            note=STILL,
        )


def _coefficients(fit: VapourFit) -> Input:
    text = "; ".join(f"{name} = {number}" for name, number in zip("abcde", fit.texts, strict=True))
    reach = f"{float(fit.coldest):g} to {float(fit.hottest):g}{NO_BREAK_SPACE}K"
    source = f"{fit.source.cited()}; {fit.locator}; holds from {reach}"
    return Input(label="coefficients", text=text, source=source, read=fit.read)


def _warm(recorder: FigureRecorder, gas: Gas, area: Area, temperature: Figure) -> None:
    lel = recorder.ledger.get(f"gas.{gas.id}.lel")
    if lel is None or not paraffin(gas.entry.formula) or magnitude(temperature.amount, "°C") <= ROOM:
        return
    with suppress(OutOfRangeError):  # hotter than the formula holds there is no figure
        recorder.number(
            f"gas.{gas.id}.lel.at-temperature.{area.id}",
            f"Lower explosive limit of {gas.name} at the temperature of {area.name}",
            flammability.lel_at_temperature(lel.amount, temperature.amount),
            "%vol",
            limit_down(),
            flammability.lel_at_temperature,
            [of(lel), of(temperature)],
            note="warm gas burns at less; instruments and alarms stay on the limit at room temperature",
        )


def paraffin(formula: str) -> bool:
    """Whether a molecule is a paraffin, the only kind the law for warm gas is used for.

    >>> paraffin("C3H8"), paraffin("C3H6"), paraffin("H2")
    (True, False, False)
    """
    atoms = parse_formula(formula)
    return set(atoms) == {"C", "H"} and atoms["H"] == 2 * atoms["C"] + 2
