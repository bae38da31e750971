"""True values for displayed readings, for each flammable hazard of each area."""

from fractions import Fraction

from builder.figures.figure import Figure
from builder.figures.formulas import response
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import hazard
from builder.figures.topics.setpoints import display_of, seen_hazards
from builder.program.keys.families import READING, READING_TRUE
from builder.program.keys.parts import number_part
from builder.program.sensors import FLAMMABLE

WHOLE = Fraction(100)
"""Above 100 %LEL a corrected reading says no more than that."""


def compute(recorder: FigureRecorder) -> None:
    """Enter ``reading.<area>.<gas>.at-<n>``."""
    shown = shown_readings(recorder)
    for area in recorder.program.areas.values():
        if FLAMMABLE not in recorder.program.channels_in(area):
            continue
        _, step = display_of(recorder, area, FLAMMABLE)
        for gas, factor in seen_hazards(recorder, area, FLAMMABLE):
            name = recorder.program.gases[gas].name
            for reading in shown:
                key = READING_TRUE(area=area.id, gas=gas, n=number_part(reading.number))
                label = f"True {name} when the display shows {reading.printed}"
                note = "worst of the detectors allowed here; at or above full scale leave, whatever it shows later"
                recorder.derived(
                    key, label, "%LEL", hazard(step, cap=WHOLE), response.true_value, reading, factor, note=note
                )


def shown_readings(recorder: FigureRecorder) -> list[Figure]:
    """The displayed readings that the site wants corrected, rising."""
    keys = [key for key in recorder.ledger.keys_under(READING.start()) if READING.read(key)]
    return sorted((recorder.ledger[key] for key in keys), key=lambda figure: figure.amount)
