"""What each channel shows in clean air before a zero."""

from fractions import Fraction

from builder.base.quantity import magnitude, same_dimension
from builder.figures.formulas import acceptance
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import window_bottom, window_top
from builder.figures.terms import exactly, written
from builder.program.clean_air import CleanAir
from builder.program.keys.families import CLEAN_AIR_FROM, CLEAN_AIR_REFUSED, CLEAN_AIR_SHOWS, CLEAN_AIR_TO
from builder.program.models import READS_IN
from builder.program.values import written_unit


def compute(recorder: FigureRecorder) -> None:
    """Enter ``check.<check>.clean-air.<channel>.*``."""
    for check in recorder.program.checks.values():
        for channel, air in check.clean_air.items():
            with recorder.at(air.where):
                _channel(recorder, check.id, channel, air)


def _channel(recorder: FigureRecorder, check: str, channel: str, air: CleanAir) -> None:
    name, of = channel.replace("-", " "), {"check": check, "channel": channel}
    unit = written_unit(air.within, READS_IN)
    shows = recorder.stated(CLEAN_AIR_SHOWS(**of), f"Clean air shows, {name}", air.shows, unit)
    step = _step(recorder, channel, unit) or magnitude(air.within.value, unit)
    edges = (
        (CLEAN_AIR_FROM, "Lowest that is left alone in clean air", window_bottom(step), 0),
        (CLEAN_AIR_TO, "Highest that is left alone in clean air", window_top(step), 1),
    )
    for family, label, rounding, part in edges:
        terms = exactly(shows), written("within", air.within)
        recorder.derived(family(**of), f"{label}, {name}", unit, rounding, acceptance.window, *terms, part=part)
    label = f"Farther off than this nobody zeroes it, {name}"
    recorder.stated(CLEAN_AIR_REFUSED(**of), label, air.refused_beyond, unit)


def _step(recorder: FigureRecorder, channel: str, unit: str) -> Fraction | None:
    """The finest step of a display with this channel."""
    models = recorder.program.models.values()
    fitted = (pair for model in models for pair in recorder.program.fitted(model))
    steps = (position.resolution.value for position, sensor in fitted if sensor.channel.value == channel)
    return min((magnitude(step, unit) for step in steps if same_dimension(step, unit)), default=None)
