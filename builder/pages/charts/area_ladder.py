"""What sounds in an area on one scale, beside what is dangerous to life: how far alarms stand from it."""

from collections.abc import Iterator

from builder.base.quantity import same_dimension
from builder.figures.ledger import Ledger
from builder.pages.blocks import Axis, Chart, Mark
from builder.pages.channel_names import spelt_alarm_word
from builder.program.areas import Area
from builder.program.keys.families import EXPOSURE_LIMIT, SETPOINT
from builder.program.program import Program
from builder.program.sensors import OXYGEN

PPM = "ppm"
FEWEST = 3
"""Marks that tell more side by side than in a table."""


def area_ladder(program: Program, ledger: Ledger, area: Area) -> Chart | None:
    """Alarms of the channels in parts per million, and of their gases what is dangerous to life; logarithmic."""
    marks = (*_alarms(program, ledger, area), *_deadly(program, ledger, area))
    if len(marks) < FEWEST:
        return None
    told = "triangles are dangerous to life" if any(mark.kind == "fire" for mark in marks) else ""
    signs = " and ".join(part for part in ("hollow squares are alarms", told) if part)
    return Chart(
        title=f"Alarms for toxic gas, {area.name}",
        description=f"Equal steps up the scale multiply the amount; {signs}.",
        x=None,
        y=Axis("In the air", PPM, log=True),
        marks=marks,
    )


def _alarms(program: Program, ledger: Ledger, area: Area) -> Iterator[Mark]:
    for channel in _toxic(program, area):
        entry = program.setpoint(area.id, channel)
        for alarm in entry.alarms if entry else ():
            figure = ledger.get(SETPOINT(area=area.id, channel=channel, alarm=alarm))
            if figure is not None and figure.rounded > 0 and same_dimension(figure.amount, PPM):
                name = spelt_alarm_word(alarm, str, channel)
                yield Mark(figure.key, f"{program.gases[channel].name}, {name}", "alarm")


def _deadly(program: Program, ledger: Ledger, area: Area) -> Iterator[Mark]:
    """Of each gas with an alarm of its own, the lowest value that a list calls dangerous to life."""
    for channel in _toxic(program, area):
        keys = (EXPOSURE_LIMIT(gas=channel, list=name, kind="idlh") for name in program.limit_lists)
        found = [figure for key in keys if (figure := ledger.get(key)) and figure.rounded > 0]
        if found:
            least = min(found, key=lambda figure: figure.number)
            yield Mark(least.key, f"{program.gases[channel].name}, dangerous to life", "fire")


def _toxic(program: Program, area: Area) -> Iterator[str]:
    """The channels of single gases that have alarms here; oxygen counts the other way."""
    for channel in program.channels_in(area):
        if channel in program.gases and channel != OXYGEN and program.setpoint(area.id, channel) is not None:
            yield channel
