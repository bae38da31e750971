"""Oxygen against a gas that displaces it."""

from builder.figures.ledger import Ledger
from builder.pages.blocks import Axis, Chart, Line, Mark
from builder.program.keys.families import OXYGEN_AFTER, OXYGEN_DISPLAY

LEVELS = (("23-5", "Too much above"), ("20-9", "Clean air"), ("19-5", "Too little below"))


def displacement_chart(ledger: Ledger) -> Chart | None:
    """Oxygen left against the gas that came in, up to nothing but that gas."""
    found = sorted(ledger.under(OXYGEN_AFTER.start()), key=lambda figure: -figure.rounded)
    if not found:
        return None
    points = tuple((figure.inputs[0].figure, figure.key) for figure in found)
    marks = ((OXYGEN_DISPLAY(n=level), label) for level, label in LEVELS)
    return Chart(
        title="Oxygen left when another gas comes in",
        description="Go up from the share of the other gas to the line, then left to the oxygen that is left: a small "
        "fall of oxygen stands for much gas.",
        x=Axis("Other gas in the air", "%vol"),
        y=Axis("Oxygen", "%vol"),
        lines=(Line("Oxygen left", points),),
        marks=tuple(Mark(key, label) for key, label in marks if key in ledger),
    )
