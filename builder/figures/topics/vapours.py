"""What liquids and warm gases can do: vapour pressure, the highest concentration, limits above room temperature."""

from collections.abc import Sequence
from contextlib import suppress

from builder.base.errors import OutOfRangeError
from builder.base.quantity import magnitude, quantity
from builder.base.rounding import plain
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.figures.formulas import flammability, vapour
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import hazard_digits, limit_down
from builder.figures.terms import Term, constant
from builder.program.areas import Area
from builder.program.gases import Gas
from builder.program.keys import families as keyed
from builder.program.keys.family import Family
from builder.reference.formula import is_paraffin
from builder.reference.vapour import VapourFit, vapour_fit

UNITS = ("", "K", "", "", "")
"""Unit of each coefficient."""
ROOM = 25
"""Temperature in °C at which published explosive limits hold."""
STILL = "still air over the pure liquid; mist, foam and hot spots can exceed it"


SITE = (keyed.GAS_VAPOUR_PRESSURE, keyed.GAS_HIGHEST_VAPOUR, keyed.GAS_REACHABLE_LEL)
AREA = (keyed.AREA_VAPOUR_PRESSURE, keyed.AREA_HIGHEST_VAPOUR, keyed.AREA_REACHABLE_LEL)


def compute(recorder: FigureRecorder) -> None:
    """Enter ``gas.<gas>.vapour-pressure`` and what follows from it, for the site and for areas of their own warmth."""
    here = recorder.ledger[keyed.SITE_TEMPERATURE()]
    for gas in recorder.program.gases.values():
        _reach(recorder, gas, _keys_of(SITE, gas=gas.id), here, "at the temperature of the site")
    for area in recorder.program.areas.values():
        own = recorder.ledger.get(keyed.AREA_TEMPERATURE(area=area.id))
        for hazard in area.hazards:
            gas = recorder.program.gases[hazard.gas.value]
            if own is not None:
                _reach(
                    recorder, gas, _keys_of(AREA, area=area.id, gas=gas.id), own, f"at the temperature of {area.name}"
                )
            _warm(recorder, gas, area, own or here)


def _keys_of(families: Sequence[Family], **parts: str) -> tuple[str, ...]:
    return tuple(family(**parts) for family in families)


def _reach(recorder: FigureRecorder, gas: Gas, keys: tuple[str, ...], temperature: Figure, when: str) -> None:
    fit, air = vapour_fit(gas.entry.id), recorder.ledger.get(keyed.SITE_PRESSURE())
    if fit is None or air is None:
        return
    with suppress(OutOfRangeError):  # outside the range of the coefficients there is no figure
        label = f"Vapour pressure of {gas.name} {when}"
        note = "other tables differ from it by up to 5 %"
        pressed = recorder.derived(
            keys[0], label, "kPa", hazard_digits(3), vapour.vapour_pressure, temperature, *_coefficients(fit), note=note
        )
        _highest(recorder, gas, keys, (pressed, air), when)


def _highest(recorder: FigureRecorder, gas: Gas, keys: tuple[str, ...], pressures: Sequence[Figure], when: str) -> None:
    pressed, air = pressures
    label = f"Highest concentration of {gas.name} {when}"
    recorder.derived(keys[1], label, "%vol", hazard_digits(2), flammability.highest_vapour, pressed, air, note=STILL)
    lel = recorder.ledger.get(keyed.GAS_LEL(gas=gas.id))
    if lel is not None:
        label = f"Highest share of its LEL that {gas.name} can reach {when}"
        recorder.derived(
            keys[2], label, "%LEL", hazard_digits(2), flammability.reachable_lel, pressed, air, lel, note=STILL
        )


def _coefficients(fit: VapourFit) -> list[Term]:
    """The five coefficients, and the range of temperatures they hold in."""
    source = f"{fit.source.cited()}; {fit.locator}"
    made = [
        constant(f"coefficient {name}", quantity(number, unit), text, source=source, read=fit.read)
        for name, number, unit, text in zip("abcde", fit.coefficients, UNITS, fit.texts, strict=True)
    ]
    for words, kelvin in (("lowest", fit.coldest), ("highest", fit.hottest)):
        text = f"{plain(kelvin)}{NO_BREAK_SPACE}K"
        label = f"{words} temperature of the coefficients"
        made.append(constant(label, quantity(kelvin, "K"), text, source=source, read=fit.read))
    return made


def _warm(recorder: FigureRecorder, gas: Gas, area: Area, temperature: Figure) -> None:
    lel = recorder.ledger.get(keyed.GAS_LEL(gas=gas.id))
    if (
        lel is None
        or gas.own is not None
        or not is_paraffin(gas.entry.formula)
        or magnitude(temperature.amount, "°C") <= ROOM
    ):
        return
    with suppress(OutOfRangeError):  # hotter than the formula holds there is no figure
        key = keyed.GAS_LEL_IN_HEAT(gas=gas.id, area=area.id)
        label = f"Lower explosive limit of {gas.name} at the temperature of {area.name}"
        note = "warm gas burns at less; instruments and alarms stay on the limit at room temperature"
        recorder.derived(key, label, "%vol", limit_down(), flammability.lel_at_temperature, lel, temperature, note=note)
