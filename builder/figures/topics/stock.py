"""Check gas left in cylinders: what recorded checks took, what is left, until when, and when to order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction

from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure, Input
from builder.figures.formulas import origin, stock
from builder.figures.recorder import FigureRecorder, given, of
from builder.figures.roundings import stock as whole_down
from builder.program.cylinders import Cylinder
from builder.program.interval import Interval
from builder.program.program import Program

LOOKED_BACK = 28
"""Days whose checks tell the present use."""
FARTHEST = 36500
"""Days beyond which no run-out is told."""
LONGEST = {"day": 1, "week": 7, "month": 31, "year": 366}
"""The most days a unit of an interval can have."""
GONE = Rounding(direction=Direction.UP, digits=3, why="what is gone is never printed smaller than it is")
USE = Rounding(direction=Direction.UP, digits=2, why="use is never printed smaller than it is")


@dataclass(slots=True, kw_only=True)
class Drawn:
    """What records say was taken from one cylinder."""

    since: dict[str, int] = field(default_factory=dict)
    """Checks after the day on which the pressure was read, by kind."""
    lately: int = 0
    """Checks of the last four weeks."""


def compute(recorder: FigureRecorder) -> None:
    """Enter ``cylinder.<cylinder>.tests-left`` and what follows from it; needs the times of the checks."""
    ambient = recorder.ledger["site.pressure"]
    drawn = drawn_from(recorder.program, recorder.as_of)
    for cylinder in recorder.program.cylinders.values():
        times = _times(recorder, cylinder)
        with recorder.at(cylinder.pressure.where):
            runs_out = None
            if times:
                left = _left(recorder, cylinder, ambient, drawn.get(cylinder.id, Drawn()), times)
                runs_out = _runs_out(recorder, cylinder, left, drawn.get(cylinder.id, Drawn()))
            _usable(recorder, cylinder, runs_out)


def drawn_from(program: Program, as_of: date) -> Mapping[str, Drawn]:
    """Checks on record by cylinder; the rows of several sensors at one time are one check."""
    made: dict[str, Drawn] = {}
    moment, seen = None, set[tuple[str, str, str]]()
    for record in program.records:
        if record.cylinder is None or record.cylinder.value not in program.cylinders or record.day > as_of:
            continue
        if record.time.value != moment:
            moment, seen = record.time.value, set()
        case = (record.unit.value, record.kind.value, record.cylinder.value)
        if case in seen:
            continue
        seen.add(case)
        cylinder = made.setdefault(record.cylinder.value, Drawn())
        measured = program.cylinders[record.cylinder.value].measured
        if measured is not None and record.day > measured.value:
            cylinder.since[record.kind.value] = cylinder.since.get(record.kind.value, 0) + 1
        if record.day > as_of - timedelta(days=LOOKED_BACK):
            cylinder.lately += 1
    return made


def _times(recorder: FigureRecorder, cylinder: Cylinder) -> dict[str, Figure]:
    """Gas time by kind of check the cylinder serves; of two of one kind the longer."""
    made: dict[str, Figure] = {}
    for served in cylinder.checks:
        figure = recorder.ledger.get(f"check.{served.value}.gas-time")
        kind = recorder.program.checks[served.value].kind
        if figure is not None and (kind not in made or figure.amount > made[kind].amount):
            made[kind] = figure
    return made


def _left(
    recorder: FigureRecorder, cylinder: Cylinder, ambient: Figure, drawn: Drawn, times: dict[str, Figure]
) -> Figure:
    volume = stock.gas_left(
        cylinder.pressure.value, cylinder.minimum_pressure.value, cylinder.volume.value, ambient.amount
    )
    key, label = f"cylinder.{cylinder.id}", f"cylinder {cylinder.id}"
    inputs = [of(recorder.ledger[f"{key}.{part}"]) for part in ("pressure", "stop-at", "volume")] + [of(ambient)]
    full = recorder.number(f"{key}.gas-left", f"Gas left in {label}", volume, "L", whole_down(), stock.gas_left, inputs)
    longest = max(times.values(), key=lambda figure: figure.amount)
    parts = [of(full), of(recorder.ledger[f"{key}.flow"]), of(longest)]
    if cylinder.measured is not None:
        used = _used(recorder, cylinder, drawn, times, longest)
        volume = quantity(max(magnitude(volume, "L") - magnitude(used.amount, "L"), Fraction(0)), "L")
        parts.insert(1, of(used, "less"))
    return recorder.number(
        f"{key}.tests-left",
        f"Checks left in {label}",
        stock.tests_left(volume, cylinder.flow.value, longest.amount),
        "",
        whole_down(),
        stock.tests_left,
        parts,
        note="at the longest gas time of the checks it serves; flushing the line costs more",
    )


def _used(
    recorder: FigureRecorder, cylinder: Cylinder, drawn: Drawn, times: dict[str, Figure], longest: Figure
) -> Figure:
    spent: list[Quantity] = []
    inputs: list[Input] = [given("pressure read on", cylinder.measured)] if cylinder.measured else []
    for kind, count in drawn.since.items():
        time = times.get(kind, longest)
        spent.append(quantity(count * magnitude(time.amount, "s"), "s"))
        inputs += [Input(label=f"{kind}: checks after that day", text=str(count), source="records"), of(time)]
    flow = recorder.ledger[f"cylinder.{cylinder.id}.flow"]
    return recorder.number(
        f"cylinder.{cylinder.id}.gas-used",
        f"Gas that checks took from cylinder {cylinder.id}",
        stock.gas_used(spent, cylinder.flow.value),
        "L",
        GONE,
        stock.gas_used,
        [*inputs, of(flow)],
    )


def _runs_out(recorder: FigureRecorder, cylinder: Cylinder, left: Figure, drawn: Drawn) -> Figure | None:
    key = f"cylinder.{cylinder.id}"
    if not drawn.lately:
        return None
    rate = recorder.number(
        f"{key}.tests-a-day",
        f"Checks made with cylinder {cylinder.id} in a day",
        stock.tests_a_day(quantity(drawn.lately, "")),
        "",
        USE,
        stock.tests_a_day,
        [
            Input(label=f"checks in {LOOKED_BACK} days", text=str(drawn.lately), source="records"),
            of(recorder.ledger["handbook.as-of"]),
        ],
    )
    if magnitude(left.amount, "") > FARTHEST * magnitude(rate.amount, ""):
        return None
    return recorder.day(
        f"{key}.runs-out",
        f"Cylinder {cylinder.id} covers all checks until",
        stock.run_out(left.amount, rate.amount, recorder.as_of),
        stock.run_out,
        [of(left), of(rate), of(recorder.ledger["handbook.as-of"])],
        note="at the use of the last four weeks",
    )


def _usable(recorder: FigureRecorder, cylinder: Cylinder, runs_out: Figure | None) -> None:
    key = f"cylinder.{cylinder.id}"
    expires = recorder.ledger[f"{key}.expires"]
    day = cylinder.expires.value
    label = f"Cylinder {cylinder.id} usable until"
    if runs_out is None or not isinstance(runs_out.exact, date):
        usable = recorder.day(f"{key}.usable-until", label, day, origin.day_stated, [of(expires)])
    else:
        day = stock.usable_until(day, runs_out.exact)
        usable = recorder.day(f"{key}.usable-until", label, day, stock.usable_until, [of(expires), of(runs_out)])
    lead = recorder.program.site.gas_lead_time
    if lead is not None:
        recorder.day(
            f"{key}.reorder-by",
            f"Order the successor of cylinder {cylinder.id} by",
            stock.reorder_by(day, quantity(longest_days(lead.value), "days")),
            stock.reorder_by,
            [of(usable), given("lead time", lead)],
        )


def longest_days(interval: Interval) -> int:
    """The most days an interval in calendar time can have."""
    return interval.count * LONGEST[interval.unit]
