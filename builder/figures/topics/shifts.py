"""Limits lowered for long shifts, where the site chose so."""

from builder.base.quantity import magnitude
from builder.base.rounding import Direction, Rounding
from builder.base.where import Given
from builder.figures.figure import Figure
from builder.figures.formulas import exposure, limits
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import limit_down
from builder.figures.terms import given
from builder.program.keys.families import EXPOSURE_LIMIT, EXPOSURE_LIMIT_LONG_SHIFT, SITE_LONG_SHIFT_FACTOR, SITE_SHIFT
from builder.program.site import NOT_LOWERED

USUAL = 8
"""Hours of the averages that lists print."""
SOURCE_NOT_READ = "a choice of the site; its source was not read, so it never decides a stop"


def compute(recorder: FigureRecorder) -> None:
    """Enter ``site.long-shift-factor`` and ``gas.<gas>.limit.<list>.twa.long-shift``."""
    chosen, shift = recorder.program.site.long_shift, recorder.ledger[SITE_SHIFT()]
    if chosen is None or chosen.value == NOT_LOWERED or magnitude(shift.amount, "h") <= USUAL:
        return
    with recorder.at(chosen.where):
        recorder.derived(
            SITE_LONG_SHIFT_FACTOR(),
            "Reduction of 8-hour limits for the longest shift",
            "",
            Rounding(direction=Direction.DOWN, digits=2, why="it lowers a limit"),
            exposure.long_shift_factor,
            shift,
            beside=[given("the site's choice", chosen)],
            note=SOURCE_NOT_READ,
        )
        for gas in recorder.program.gases.values():
            for listed in recorder.program.limit_lists:
                _limit(recorder, EXPOSURE_LIMIT(gas=gas.id, list=listed, kind="twa"), shift, chosen)


def _limit(recorder: FigureRecorder, key: str, shift: Figure, chosen: Given[str]) -> None:
    limit = recorder.ledger.get(key)
    if limit is None:
        return
    recorder.derived(
        EXPOSURE_LIMIT_LONG_SHIFT.on(key),
        f"{limit.label}, lowered for the longest shift",
        "ppm",
        limit_down(2),
        limits.long_shift_limit,
        limit,
        shift,
        beside=[given("the site's choice", chosen)],
        note=SOURCE_NOT_READ,
    )
