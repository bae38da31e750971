"""How long records are kept: the site's policy, and published minimums."""

from __future__ import annotations

from fractions import Fraction

from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.figures.formulas import origin
from builder.figures.formulas.registry import formula_of, id_of
from builder.figures.recorder import FigureRecorder
from builder.reference.retention import minimums


def compute(recorder: FigureRecorder) -> None:
    """Enter ``retention.<id>.keep`` of the site's policy, and ``retention.minimum.<id>`` of published rules."""
    for kept in recorder.program.retention:
        if kept.keep is not None:
            recorder.interval(f"retention.{kept.id}.keep", f"{kept.what.value} kept for", kept.keep)
    for minimum in minimums():
        if minimum.years:
            text = f"{minimum.years}{NO_BREAK_SPACE}year{'s' if minimum.years > 1 else ''}"
            stated = Input(label=minimum.what, text=text, source=minimum.citation, read=minimum.read)
            recorder.ledger.add(
                Figure(
                    key=f"retention.minimum.{minimum.id}",
                    label=f"Published minimum: {minimum.what}",
                    exact=Fraction(minimum.years),
                    unit="",
                    text=text,
                    rounding=None,
                    formula=formula_of(id_of(origin.published)).id,
                    inputs=(stated,),
                    source=minimum.citation,
                    read=minimum.read,
                )
            )
