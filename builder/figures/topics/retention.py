"""How long records are kept: the site's policy, and published minimums."""

from builder.figures.figure import NO_BREAK_SPACE
from builder.figures.formulas import origin
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import constant
from builder.program.interval import Interval
from builder.program.keys.families import RETENTION_KEEP, RETENTION_MINIMUM
from builder.reference.retention import Minimum, minimums


def compute(recorder: FigureRecorder) -> None:
    """Enter ``retention.<id>.keep`` of the site's policy, and ``retention.minimum.<id>`` of published rules."""
    for kept in recorder.program.retention:
        if kept.keep is not None:
            recorder.interval(RETENTION_KEEP(entry=kept.id), f"{kept.what.value} kept for", kept.keep)
    for minimum in minimums():
        if minimum.years:
            _minimum(recorder, minimum)


def _minimum(recorder: FigureRecorder, minimum: Minimum) -> None:
    text = f"{minimum.years} year{'s' if minimum.years > 1 else ''}"
    kept = Interval(count=minimum.years, unit="year", text=text)
    words = text.replace(" ", NO_BREAK_SPACE)
    recorder.derived(
        RETENTION_MINIMUM(entry=minimum.id),
        f"Published minimum: {minimum.what}",
        "",
        None,
        origin.published,
        constant(minimum.what, kept, words, source=minimum.citation, read=minimum.read),
        source=minimum.citation,
    )
