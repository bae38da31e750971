"""Calibration gas: certified contents and last day of use; what is left is in ``stock``."""

from __future__ import annotations

from builder.figures.bench import Bench, amount, given, of
from builder.figures.formulas import gas, origin
from builder.figures.roundings import chart
from builder.program.cylinders import Component, Cylinder


def compute(bench: Bench) -> None:
    """Enter ``cylinder.<cylinder>.*``."""
    for cylinder in bench.program.cylinders.values():
        key = f"cylinder.{cylinder.id}"
        bench.day(
            f"{key}.expires",
            f"Last day of use of cylinder {cylinder.id}",
            cylinder.expires.value,
            origin.day_stated,
            [given("expires", cylinder.expires)],
        )
        _days(bench, cylinder)
        bench.stated(f"{key}.pressure", f"Pressure in cylinder {cylinder.id}", cylinder.pressure, "bar")
        bench.stated(f"{key}.stop-at", f"Stop using cylinder {cylinder.id} at", cylinder.minimum_pressure, "bar")
        bench.stated(f"{key}.volume", f"Water volume of cylinder {cylinder.id}", cylinder.volume, "L")
        bench.stated(f"{key}.flow", f"Flow from cylinder {cylinder.id}", cylinder.flow, "L/min")
        for component in cylinder.components:
            with bench.at(component.value.where):
                _component(bench, cylinder, component)


def _days(bench: Bench, cylinder: Cylinder) -> None:
    days = (
        ("certified-on", "Day of the certificate of", cylinder.certified_on),
        ("measured", "Day on which the pressure was read in", cylinder.measured),
    )
    for name, words, day in days:
        if day is not None:
            label = f"{words} cylinder {cylinder.id}"
            bench.day(f"cylinder.{cylinder.id}.{name}", label, day.value, origin.day_stated, [given(name, day)])


def _component(bench: Bench, cylinder: Cylinder, component: Component) -> None:
    key = f"cylinder.{cylinder.id}.{component.gas.value}"
    name = bench.program.gases[component.gas.value].name
    unit = "ppm" if component.value.text.endswith("ppm") else "%vol"
    content = bench.stated(key, f"Certified {name} in cylinder {cylinder.id}", component.value, unit)
    words = f"{name} in cylinder {cylinder.id}"
    bench.stated(f"{key}.uncertainty", f"Uncertainty of {words}", component.uncertainty, "%")
    if component.label:
        bench.stated(f"{key}.label", f"Label for {words}", component.label, "%LEL")
    lel = bench.ledger.get(f"gas.{component.gas.value}.lel")
    if lel is not None and unit == "%vol":
        share = gas.vol_to_lel(amount(content), amount(lel))
        bench.number(
            f"{key}.lel",
            f"{name} in cylinder {cylinder.id} on the site's LEL basis",
            share,
            "%LEL",
            chart(3),
            gas.vol_to_lel,
            [of(content), of(lel)],
        )
