"""Check gas left in cylinders: what recorded checks took, what is left, until when, and when to order."""

from contextlib import suppress
from datetime import date
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import quantity
from builder.base.rounding import Direction, Rounding
from builder.base.where import Given
from builder.figures.figure import Figure
from builder.figures.formulas import origin, rhythm, stock
from builder.figures.logbook.drawn import LOOKED_BACK, Drawn, drawn_from
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import stock as whole_down
from builder.figures.roundings import wait
from builder.figures.terms import constant, exactly, given, of, written
from builder.program.cylinders import Cylinder
from builder.program.keys import families as keyed

GONE = Rounding(direction=Direction.UP, digits=3, why="what is gone is never printed smaller than it is")
USE = Rounding(direction=Direction.UP, digits=2, why="use is never printed smaller than it is")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``cylinder.<cylinder>.tests-left`` and what follows from it; needs the times of the checks."""
    ambient = recorder.ledger[keyed.SITE_PRESSURE()]
    lead = recorder.program.site.gas_lead_time
    if lead is not None and recorder.program.cylinders:
        key, label = keyed.SITE_GAS_LEAD_TIME(), "Longest time that an order of check gas takes"
        recorder.derived(key, label, "days", wait(Fraction(1)), rhythm.longest_days, written("lead time", lead))
    drawn = drawn_from(recorder.program, recorder.as_of)
    for cylinder in recorder.program.cylinders.values():
        times = _times(recorder, cylinder)
        with recorder.at(cylinder.pressure.where):
            runs_out = None
            if times:
                left = _left(recorder, cylinder, ambient, drawn.get(cylinder.id, Drawn()), times)
                runs_out = _runs_out(recorder, cylinder, left, drawn.get(cylinder.id, Drawn()))
            _usable(recorder, cylinder, runs_out)


def _times(recorder: FigureRecorder, cylinder: Cylinder) -> dict[str, Figure]:
    """Gas time by kind of check the cylinder serves; of two of one kind the longer."""
    made: dict[str, Figure] = {}
    for served in cylinder.checks:
        figure = recorder.ledger.get(keyed.CHECK_GAS_TIME(check=served.value))
        kind = recorder.program.checks[served.value].kind
        if figure is not None and (kind not in made or figure.amount > made[kind].amount):
            made[kind] = figure
    return made


def _left(
    recorder: FigureRecorder, cylinder: Cylinder, ambient: Figure, drawn: Drawn, times: dict[str, Figure]
) -> Figure:
    label = f"cylinder {cylinder.id}"
    stated = [
        exactly(recorder.ledger[family(cylinder=cylinder.id)])
        for family in (keyed.CYLINDER_PRESSURE, keyed.CYLINDER_STOP_AT, keyed.CYLINDER_VOLUME)
    ]
    key = keyed.CYLINDER_GAS_LEFT(cylinder=cylinder.id)
    left = recorder.derived(key, f"Gas left in {label}", "L", whole_down(), stock.gas_left, *stated, ambient)
    longest = max(times.values(), key=lambda figure: figure.amount)
    if cylinder.measured is not None:
        used = _used(recorder, cylinder, cylinder.measured, drawn, times, longest)
        left = recorder.derived(
            keyed.CYLINDER_GAS_NOW(cylinder=cylinder.id),
            f"Gas left in {label} after the checks made since its pressure was read",
            "L",
            whole_down(),
            stock.gas_now,
            left,
            used,
        )
    return recorder.derived(
        keyed.CYLINDER_TESTS_LEFT(cylinder=cylinder.id),
        f"Checks left in {label}",
        "",
        whole_down(),
        stock.tests_left,
        left,
        recorder.ledger[keyed.CYLINDER_FLOW(cylinder=cylinder.id)],
        longest,
        note="at the longest gas time of the checks it serves; flushing the line costs more",
    )


def _used(
    recorder: FigureRecorder,
    cylinder: Cylinder,
    measured: Given[date],
    drawn: Drawn,
    times: dict[str, Figure],
    longest: Figure,
) -> Figure:
    counts = [
        constant(f"{kind}: checks after that day", quantity(count, ""), str(count), source="records")
        for kind, count in drawn.since.items()
    ]
    return recorder.derived(
        keyed.CYLINDER_GAS_USED(cylinder=cylinder.id),
        f"Gas that checks took from cylinder {cylinder.id}",
        "L",
        GONE,
        stock.gas_used,
        counts,
        [times.get(kind, longest) for kind in drawn.since],
        recorder.ledger[keyed.CYLINDER_FLOW(cylinder=cylinder.id)],
        beside=[given("pressure read on", measured)],
    )


def _runs_out(recorder: FigureRecorder, cylinder: Cylinder, left: Figure, drawn: Drawn) -> Figure | None:
    if not drawn.lately:
        return None
    lately = constant(f"checks in {LOOKED_BACK} days", quantity(drawn.lately, ""), str(drawn.lately), source="records")
    key, label = keyed.CYLINDER_TESTS_A_DAY(cylinder=cylinder.id), f"Checks made with cylinder {cylinder.id} in a day"
    rate = recorder.derived(key, label, "", USE, stock.tests_a_day, lately, beside=[of(recorder.ledger[keyed.AS_OF()])])
    with suppress(OutOfRangeError):  # so long that no day is told
        key, label = keyed.CYLINDER_RUNS_OUT(cylinder=cylinder.id), f"Cylinder {cylinder.id} covers all checks until"
        note = "at the use of the last four weeks"
        return recorder.derived(
            key, label, "", None, stock.run_out, left, rate, recorder.ledger[keyed.AS_OF()], note=note
        )
    return None


def _usable(recorder: FigureRecorder, cylinder: Cylinder, runs_out: Figure | None) -> None:
    expires = exactly(recorder.ledger[keyed.CYLINDER_EXPIRES(cylinder=cylinder.id)])
    label = f"Cylinder {cylinder.id} usable until"
    key = keyed.CYLINDER_USABLE_UNTIL(cylinder=cylinder.id)
    if runs_out is None:
        usable = recorder.derived(key, label, "", None, origin.day_stated, expires)
    else:
        usable = recorder.derived(key, label, "", None, stock.usable_until, expires, runs_out)
    if keyed.SITE_GAS_LEAD_TIME() in recorder.ledger:
        key = keyed.CYLINDER_REORDER_BY(cylinder=cylinder.id)
        label = f"Order the successor of cylinder {cylinder.id} by"
        recorder.derived(key, label, "", None, stock.reorder_by, usable, recorder.ledger[keyed.SITE_GAS_LEAD_TIME()])
