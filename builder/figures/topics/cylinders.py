"""Calibration gas: certified contents and last day of use; what is left is in ``stock``."""

from __future__ import annotations

from builder.figures.formulas import gas
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart
from builder.figures.terms import exactly
from builder.program.cylinders import Component, Cylinder


def compute(recorder: FigureRecorder) -> None:
    """Enter ``cylinder.<cylinder>.*``."""
    for cylinder in recorder.program.cylinders.values():
        key = f"cylinder.{cylinder.id}"
        recorder.day(f"{key}.expires", f"Last day of use of cylinder {cylinder.id}", cylinder.expires, "expires")
        _days(recorder, cylinder)
        recorder.stated(f"{key}.pressure", f"Pressure in cylinder {cylinder.id}", cylinder.pressure, "bar")
        recorder.stated(f"{key}.stop-at", f"Stop using cylinder {cylinder.id} at", cylinder.minimum_pressure, "bar")
        recorder.stated(f"{key}.volume", f"Water volume of cylinder {cylinder.id}", cylinder.volume, "L")
        recorder.stated(f"{key}.flow", f"Flow from cylinder {cylinder.id}", cylinder.flow, "L/min")
        for component in cylinder.components:
            with recorder.at(component.value.where):
                _component(recorder, cylinder, component)


def _days(recorder: FigureRecorder, cylinder: Cylinder) -> None:
    days = (
        ("certified-on", "Day of the certificate of", cylinder.certified_on),
        ("measured", "Day on which the pressure was read in", cylinder.measured),
    )
    for name, words, day in days:
        if day is not None:
            label = f"{words} cylinder {cylinder.id}"
            recorder.day(f"cylinder.{cylinder.id}.{name}", label, day, name)


def _component(recorder: FigureRecorder, cylinder: Cylinder, component: Component) -> None:
    key = f"cylinder.{cylinder.id}.{component.gas.value}"
    name = recorder.program.gases[component.gas.value].name
    unit = "ppm" if component.value.text.endswith("ppm") else "%vol"
    content = recorder.stated(key, f"Certified {name} in cylinder {cylinder.id}", component.value, unit)
    words = f"{name} in cylinder {cylinder.id}"
    recorder.stated(f"{key}.uncertainty", f"Uncertainty of {words}", component.uncertainty, "%")
    if component.label:
        recorder.stated(f"{key}.label", f"Label for {words}", component.label, "%LEL")
    lel = recorder.ledger.get(f"gas.{component.gas.value}.lel")
    if lel is not None and unit == "%vol":
        recorder.derived(
            f"{key}.lel",
            f"{name} in cylinder {cylinder.id} on the site's LEL basis",
            "%LEL",
            chart(3),
            gas.vol_to_lel,
            exactly(content),
            exactly(lel),
        )
