"""Calibration gas: certified contents, last day of use, tests left."""

from __future__ import annotations

from builder.figures.bench import Bench, amount, given, of
from builder.figures.figure import Figure
from builder.figures.formulas import gas, origin, stock
from builder.figures.roundings import chart
from builder.figures.roundings import stock as whole_down
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
        bench.stated(f"{key}.pressure", f"Pressure in cylinder {cylinder.id}", cylinder.pressure, "bar")
        bench.stated(f"{key}.stop-at", f"Stop using cylinder {cylinder.id} at", cylinder.minimum_pressure, "bar")
        bench.stated(f"{key}.volume", f"Water volume of cylinder {cylinder.id}", cylinder.volume, "L")
        bench.stated(f"{key}.flow", f"Flow from cylinder {cylinder.id}", cylinder.flow, "L/min")
        for component in cylinder.components:
            with bench.at(component.value.where):
                _component(bench, cylinder, component)


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


def compute_stock(bench: Bench) -> None:
    """Enter ``cylinder.<cylinder>.tests-left``, which needs the times of the checks."""
    ambient = bench.ledger["site.pressure"]
    for cylinder in bench.program.cylinders.values():
        times = [bench.ledger.get(f"check.{check.value}.gas-time") for check in cylinder.checks]
        found = [time for time in times if time is not None]
        with bench.at(cylinder.pressure.where):
            if found:
                _stock(bench, cylinder, max(found, key=amount), ambient)


def _stock(bench: Bench, cylinder: Cylinder, longest: Figure, ambient: Figure) -> None:
    volume = stock.gas_left(
        cylinder.pressure.value, cylinder.minimum_pressure.value, cylinder.volume.value, amount(ambient)
    )
    key, label = f"cylinder.{cylinder.id}", f"cylinder {cylinder.id}"
    inputs = [of(bench.ledger[f"{key}.{part}"]) for part in ("pressure", "stop-at", "volume")] + [of(ambient)]
    left = bench.number(f"{key}.gas-left", f"Gas left in {label}", volume, "L", whole_down(), stock.gas_left, inputs)
    bench.number(
        f"{key}.tests-left",
        f"Checks left in {label}",
        stock.tests_left(volume, cylinder.flow.value, amount(longest)),
        "",
        whole_down(),
        stock.tests_left,
        [of(left), of(bench.ledger[f"{key}.flow"]), of(longest)],
        note="at the longest gas time of the checks it serves; flushing the line costs more",
    )
