"""Calibration gas: certified contents and last day of use; what is left is in ``stock``."""

from builder.figures.formulas import gas
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart
from builder.figures.terms import exactly
from builder.program.cylinders import Component, Cylinder
from builder.program.keys import families as keyed


def compute(recorder: FigureRecorder) -> None:
    """Enter ``cylinder.<cylinder>.*``."""
    for cylinder in recorder.program.cylinders.values():
        recorder.day(
            keyed.CYLINDER_EXPIRES(cylinder=cylinder.id),
            f"Last day of use of cylinder {cylinder.id}",
            cylinder.expires,
            "expires",
        )
        _days(recorder, cylinder)
        recorder.stated(
            keyed.CYLINDER_PRESSURE(cylinder=cylinder.id),
            f"Pressure in cylinder {cylinder.id}",
            cylinder.pressure,
            "bar",
        )
        recorder.stated(
            keyed.CYLINDER_STOP_AT(cylinder=cylinder.id),
            f"Stop using cylinder {cylinder.id} at",
            cylinder.minimum_pressure,
            "bar",
        )
        recorder.stated(
            keyed.CYLINDER_VOLUME(cylinder=cylinder.id), f"Water volume of cylinder {cylinder.id}", cylinder.volume, "L"
        )
        recorder.stated(
            keyed.CYLINDER_FLOW(cylinder=cylinder.id), f"Flow from cylinder {cylinder.id}", cylinder.flow, "L/min"
        )
        for component in cylinder.components:
            with recorder.at(component.value.where):
                _component(recorder, cylinder, component)


def _days(recorder: FigureRecorder, cylinder: Cylinder) -> None:
    days = (
        (keyed.CYLINDER_CERTIFIED_ON, "certified-on", "Day of the certificate of", cylinder.certified_on),
        (keyed.CYLINDER_GONE, "gone", "Last day here of", cylinder.gone),
        (keyed.CYLINDER_MEASURED, "measured", "Day on which the pressure was read in", cylinder.measured),
    )
    for family, name, words, day in days:
        if day is not None:
            label = f"{words} cylinder {cylinder.id}"
            recorder.day(family(cylinder=cylinder.id), label, day, name)


def _component(recorder: FigureRecorder, cylinder: Cylinder, component: Component) -> None:
    key = keyed.CYLINDER_GAS(cylinder=cylinder.id, gas=component.gas.value)
    name = recorder.program.gases[component.gas.value].name
    unit = "ppm" if component.value.text.endswith("ppm") else "%vol"
    content = recorder.stated(key, f"Certified {name} in cylinder {cylinder.id}", component.value, unit)
    words = f"{name} in cylinder {cylinder.id}"
    recorder.stated(
        keyed.CYLINDER_GAS_UNCERTAINTY(cylinder=cylinder.id, gas=component.gas.value),
        f"Uncertainty of {words}",
        component.uncertainty,
        "%",
    )
    if component.label:
        recorder.stated(
            keyed.CYLINDER_GAS_LABEL(cylinder=cylinder.id, gas=component.gas.value),
            f"Label for {words}",
            component.label,
            "%LEL",
        )
    lel = recorder.ledger.get(keyed.GAS_LEL(gas=component.gas.value))
    if lel is not None and unit == "%vol":
        recorder.derived(
            keyed.CYLINDER_GAS_LEL(cylinder=cylinder.id, gas=component.gas.value),
            f"{name} in cylinder {cylinder.id} on the site's LEL basis",
            "%LEL",
            chart(3),
            gas.vol_to_lel,
            exactly(content),
            exactly(lel),
        )
