"""Calibration gas: certified contents and last day of use; what is left is in ``stock``."""

from builder.figures.formulas import gas
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart
from builder.program.cylinders import Component, Cylinder
from builder.program.keys import families as keyed


def compute(recorder: FigureRecorder) -> None:
    """Enter ``cylinder.<cylinder>.*``."""
    for cylinder in recorder.program.cylinders.values():
        _days(recorder, cylinder)
        words = f"cylinder {cylinder.id}"
        recorder.each_stated(
            (keyed.CYLINDER_PRESSURE, f"Pressure in {words}", cylinder.pressure, "bar"),
            (keyed.CYLINDER_STOP_AT, f"Stop using {words} at", cylinder.minimum_pressure, "bar"),
            (keyed.CYLINDER_VOLUME, f"Water volume of {words}", cylinder.volume, "L"),
            (keyed.CYLINDER_FLOW, f"Flow from {words}", cylinder.flow, "L/min"),
            cylinder=cylinder.id,
        )
        for component in cylinder.components:
            with recorder.at(component.value.where):
                _component(recorder, cylinder, component)


def _days(recorder: FigureRecorder, cylinder: Cylinder) -> None:
    days = (
        (keyed.CYLINDER_EXPIRES, "expires", "Last day of use of", cylinder.expires),
        (keyed.CYLINDER_CERTIFIED_ON, "certified-on", "Day of the certificate of", cylinder.certified_on),
        (keyed.CYLINDER_GONE, "gone", "Last day here of", cylinder.gone),
        (keyed.CYLINDER_MEASURED, "measured", "Day on which the pressure was read in", cylinder.measured),
    )
    for family, name, words, day in days:
        if day is not None:
            label = f"{words} cylinder {cylinder.id}"
            recorder.day(family(cylinder=cylinder.id), label, day, name)


def _component(recorder: FigureRecorder, cylinder: Cylinder, component: Component) -> None:
    part = {"cylinder": cylinder.id, "gas": component.gas.value}
    name = recorder.program.gases[component.gas.value].name
    unit = "ppm" if component.value.text.endswith("ppm") else "%vol"
    words = f"{name} in cylinder {cylinder.id}"
    content = recorder.stated(keyed.CYLINDER_GAS(**part), f"Certified {words}", component.value, unit)
    recorder.each_stated(
        (keyed.CYLINDER_GAS_UNCERTAINTY, f"Uncertainty of {words}", component.uncertainty, "%"),
        (keyed.CYLINDER_GAS_LABEL, f"Label for {words}", component.label, "%LEL"),
        **part,
    )
    lel = recorder.ledger.get(keyed.GAS_LEL(gas=component.gas.value))
    if lel is not None and unit == "%vol":
        label = f"{words} on the site's LEL basis"
        recorder.derived(keyed.CYLINDER_GAS_LEL(**part), label, "%LEL", chart(3), gas.vol_to_lel, content, lel)
