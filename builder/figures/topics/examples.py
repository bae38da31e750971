"""The worked cases of the rule that defines averages, so that a reader can check a calculation against them."""

from fractions import Fraction

from builder.base.quantity import quantity
from builder.figures.formulas import exposure
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart
from builder.figures.terms import Term, constant
from builder.program.keys.families import EXAMPLE_MIXTURE, EXAMPLE_TWA

TWA = "29 CFR 1910.1000 (d)(1)(ii), worked case"
MIXTURE = "29 CFR 1910.1000 (d)(2)(ii), worked case"
HOURS = ((150, 2), (75, 2), (50, 4))
"""Parts per million of a substance, and for how many hours."""
PARTS = ((500, 1000), (45, 200), (40, 200))
"""Parts per million of three substances, and the limit of each."""


def compute(recorder: FigureRecorder) -> None:
    """Enter ``example.twa`` and ``example.mixture``."""
    levels = [_term("found", ppm, "ppm", TWA) for ppm, _ in HOURS]
    times = [_term("for", hours, "h", TWA) for _, hours in HOURS]
    label = "8-hour average of the worked case"
    recorder.derived(EXAMPLE_TWA(), label, "ppm", chart(4), exposure.twa_8h, levels, times)
    found = [_term("found", ppm, "ppm", MIXTURE) for ppm, _ in PARTS]
    limits = [_term("limit", ppm, "ppm", MIXTURE) for _, ppm in PARTS]
    label = "Sum of the shares of the worked case"
    recorder.derived(EXAMPLE_MIXTURE(), label, "", chart(), exposure.mixture_index, found, limits)


def _term(label: str, number: int, unit: str, source: str) -> Term:
    return constant(label, quantity(Fraction(number), unit), f"{number}\u00a0{unit}", source=source)
