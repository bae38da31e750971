"""Response factors of sensors, brought to one form: true value = reading × factor, display as the sensor shows it."""

from collections.abc import Callable
from fractions import Fraction
from typing import Any

from builder.base.quantity import Quantity, quantity
from builder.base.rounding import Rounding
from builder.base.where import Given
from builder.figures.figure import Figure, Input
from builder.figures.formulas import origin, response
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written, hazard_digits
from builder.figures.terms import exactly, written
from builder.program.keys.families import FACTOR, FACTOR_IN_TABLE
from builder.program.sensors import RELATIVE, Factors, Sensor

DIGITS = 3


def compute(recorder: FigureRecorder) -> None:
    """Enter ``response.<sensor>.<gas>.factor`` for every gas a sensor sees."""
    for sensor in recorder.program.sensors.values():
        _shown(recorder, sensor)
        if sensor.factors is not None:
            with recorder.at(sensor.factors.relative_to.where):
                _table(recorder, sensor, sensor.factors)


def factor_on(sensor: Sensor, gas: str) -> Quantity | None:
    """The factor that multiplies the reading of ``gas``, exact; ``None`` for a gas the sensor does not see."""
    if gas == sensor.shows.value:
        return origin.unity()
    if not sensor.sees(gas) or sensor.factors is None:
        return None
    own = _multiplying(sensor.factors, gas)
    shown = _multiplying(sensor.factors, sensor.shows.value)
    return response.rebased_factor(own, shown) if rebased(sensor) else own


def rebased(sensor: Sensor) -> bool:
    """Whether the table is relative to another gas than the display."""
    return sensor.factors is not None and sensor.factors.relative_to.value != sensor.shows.value


def _multiplying(factors: Factors, gas: str) -> Quantity:
    """The number that multiplies a reading scaled in the table's own gas of reference."""
    stated = factors.table.get(gas)
    if stated is None:
        return origin.unity()
    number = quantity(stated.value, "")
    return response.factor_from_relative(number) if factors.convention.value == RELATIVE else number


def _label(recorder: FigureRecorder, sensor: Sensor, gas: str) -> str:
    return f"Response factor of {recorder.program.gases[gas].name} on {sensor.name}"


def _shown(recorder: FigureRecorder, sensor: Sensor) -> None:
    """The gas shown has factor 1; where a table states that itself, the table is the derivation."""
    shown = sensor.shows.value
    if sensor.factors and shown in sensor.factors.table and not rebased(sensor):
        return
    scaled = Input(label="display scaled in", text=recorder.program.gases[shown].name, where=sensor.shows.where)
    label = _label(recorder, sensor, shown)
    recorder.derived(FACTOR(sensor=sensor.id, gas=shown), label, "", as_written("1"), origin.unity, beside=[scaled])


def _table(recorder: FigureRecorder, sensor: Sensor, factors: Factors) -> None:
    if not rebased(sensor):
        for gas in factors.table:
            _entry(recorder, sensor, factors, gas, FACTOR(sensor=sensor.id, gas=gas))
        return
    stated_in_table = {
        gas: _entry(recorder, sensor, factors, gas, FACTOR_IN_TABLE(sensor=sensor.id, gas=gas)) for gas in factors.table
    }
    reference = factors.relative_to.value
    if reference not in stated_in_table:
        name = recorder.program.gases[reference].name
        scaled = Input(label="table relative to", text=name, where=factors.relative_to.where)
        key, label = FACTOR_IN_TABLE(sensor=sensor.id, gas=reference), f"Factor of {name} in the table of {sensor.name}"
        stated_in_table[reference] = recorder.derived(key, label, "", as_written("1"), origin.unity, beside=[scaled])
    for gas, figure in stated_in_table.items():
        if gas != sensor.shows.value:
            _rebase(recorder, sensor, gas, figure, stated_in_table[sensor.shows.value])


def _entry(recorder: FigureRecorder, sensor: Sensor, factors: Factors, gas: str, key: str) -> Figure:
    """One number of the table, as the factor that multiplies a reading scaled in the table's gas of reference."""
    stated: Given[Fraction] = factors.table[gas]
    source = Input(label="factors from", text=factors.source.value, where=factors.source.where)
    relative = factors.convention.value == RELATIVE
    scaled = recorder.program.gases[factors.relative_to.value].name
    label = _label(recorder, sensor, gas)
    function: Callable[..., Any] = response.factor_from_relative if relative else origin.stated
    rounding: Rounding = hazard_digits(DIGITS) if relative else as_written(stated.text)
    words = "relative response" if relative else "factor, multiply the reading"
    return recorder.derived(
        key,
        label if FACTOR.read(key) else f"Factor of {recorder.program.gases[gas].name} in the table of {sensor.name}",
        "",
        rounding,
        function,
        written(words, stated, quantity(stated.value, "")),
        beside=[source],
        note=f"true value = reading × factor, display scaled in {scaled}",
        source=factors.source.value,
    )


def _rebase(recorder: FigureRecorder, sensor: Sensor, gas: str, own: Figure, shown: Figure) -> None:
    recorder.derived(
        FACTOR(sensor=sensor.id, gas=gas),
        _label(recorder, sensor, gas),
        "",
        hazard_digits(DIGITS),
        response.rebased_factor,
        own,
        exactly(shown, "factor of the gas the display shows"),
        note=f"true value = reading × factor, display scaled in {recorder.program.gases[sensor.shows.value].name}",
    )
