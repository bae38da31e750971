"""Conditions of the site, which all conversions use."""

from fractions import Fraction

from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.where import Given
from builder.figures.formulas import atmosphere, gas, origin, oxygen
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart, hazard
from builder.figures.terms import constant
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part


def compute(recorder: FigureRecorder) -> None:
    """Enter ``handbook.as-of``, ``site.*``, ``reference.*``, ``reading.at-*`` and the oxygen rule of thumb."""
    site = recorder.program.site
    built = constant("day of the build", recorder.as_of, source="asked for when the handbook was built")
    recorder.derived(keyed.AS_OF(), "Day everything due is judged on", "", None, origin.day_stated, built)
    ambient = site.ambient
    recorder.stated(keyed.SITE_TEMPERATURE(), "Temperature of the site", ambient.temperature, "°C")
    if ambient.altitude is not None:
        _pressure(recorder, ambient.altitude)
    elif ambient.pressure is not None:
        recorder.stated(keyed.SITE_PRESSURE(), "Air pressure of the site", ambient.pressure, "kPa")
    recorder.each_stated(
        (keyed.REFERENCE_TEMPERATURE, "Reference temperature of limits", site.basis.reference_temperature, "°C"),
        (keyed.REFERENCE_PRESSURE, "Reference pressure of limits", site.basis.reference_pressure, "kPa"),
    )
    with recorder.at(site.where):
        _molar_volumes(recorder)
    recorder.stated(keyed.SITE_SHIFT(), "Longest shift", site.shift, "h")
    _oxygen(recorder)
    for reading in _readings(recorder):
        key = keyed.READING(n=number_part(magnitude(reading.value, "%LEL")))
        if key not in recorder.ledger:
            recorder.stated(key, "Displayed reading", reading, "%LEL")


def _pressure(recorder: FigureRecorder, given_altitude: Given[Quantity]) -> None:
    altitude = recorder.stated(keyed.SITE_ALTITUDE(), "Altitude of the site", given_altitude, "m")
    with recorder.at(given_altitude.where):
        key, label = keyed.SITE_PRESSURE(), "Air pressure of the site"
        note = "standard atmosphere; weather moves it by a few per cent"
        recorder.derived(key, label, "kPa", chart(4), atmosphere.pressure_at_altitude, altitude, note=note)


def _molar_volumes(recorder: FigureRecorder) -> None:
    for made, conditions, label in (
        (keyed.SITE_MOLAR_VOLUME, (keyed.SITE_TEMPERATURE, keyed.SITE_PRESSURE), "site conditions"),
        (keyed.REFERENCE_MOLAR_VOLUME, (keyed.REFERENCE_TEMPERATURE, keyed.REFERENCE_PRESSURE), "reference conditions"),
    ):
        temperature, pressed = (recorder.ledger.get(family()) for family in conditions)
        if temperature is None or pressed is None:
            continue
        recorder.derived(
            made(), f"Molar volume of a gas at {label}", "L/mol", chart(4), gas.molar_volume, temperature, pressed
        )


def _oxygen(recorder: FigureRecorder) -> None:
    drop = constant("oxygen drop", quantity(1, "%vol"), "1\u00a0%vol", source="the unit of the rule of thumb")
    key, label = keyed.OXYGEN_DISPLACED(), "Gas that an oxygen drop of 1 %vol can mean"
    note = "an oxygen reading is no test for toxic gas: far less than this can kill"
    recorder.derived(key, label, "%vol", hazard(Fraction("0.1")), oxygen.displacement_from_drop, drop, note=note)
    for area in recorder.program.areas.values():
        if area.hazard("oxygen"):
            recorder.ledger.alias(keyed.OXYGEN_DISPLACED_IN(area=area.id), keyed.OXYGEN_DISPLACED())


def _readings(recorder: FigureRecorder) -> list[Given[Quantity]]:
    cards = recorder.program.cards.values()
    extra = [r for card in cards for block in card.blocks for r in block.readings]
    return [*recorder.program.site.readings, *extra]
