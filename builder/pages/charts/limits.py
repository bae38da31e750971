"""Limits of a gas or alarms of an area on one ladder, and how long a steady concentration takes to an alarm."""

from collections.abc import Iterator

from builder.base.quantity import same_dimension
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.pages.blocks import Axis, Chart, Line, Mark
from builder.pages.handbook.labels import spelt_alarm_word
from builder.program.areas import Area
from builder.program.gases import OXYGEN_GAS, Gas
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR
from builder.reference.limits import KINDS

PPM = "ppm"
FEWEST = 3
"""Marks that tell more side by side than in a table."""


def area_ladder(program: Program, ledger: Ledger, area: Area) -> Chart | None:
    """Alarms of the channels in parts per million, and of their gases what is dangerous to life; logarithmic."""
    marks = (*_alarms_of_area_ladder(program, ledger, area), *_deadly(program, ledger, area))
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


def _alarms_of_area_ladder(program: Program, ledger: Ledger, area: Area) -> Iterator[Mark]:
    for channel in _toxic(program, area):
        entry = program.setpoint(area.id, channel)
        for alarm in entry.alarms if entry else ():
            figure = ledger.get(keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm))
            if figure is not None and figure.rounded > 0 and same_dimension(figure.amount, PPM):
                name = spelt_alarm_word(alarm, str, channel)
                yield Mark(figure.key, f"{program.gases[channel].name}, {name}", "alarm")


def _deadly(program: Program, ledger: Ledger, area: Area) -> Iterator[Mark]:
    """Of each gas with an alarm of its own, the lowest value that a list calls dangerous to life."""
    for channel in _toxic(program, area):
        keys = (keyed.EXPOSURE_LIMIT(gas=channel, list=name, kind="idlh") for name in program.limit_lists)
        found = [figure for key in keys if (figure := ledger.get(key)) and figure.rounded > 0]
        if found:
            least = min(found, key=lambda figure: figure.number)
            yield Mark(least.key, f"{program.gases[channel].name}, dangerous to life", "fire")


def _toxic(program: Program, area: Area) -> Iterator[str]:
    """The channels of single gases that have alarms here; oxygen counts the other way."""
    for channel in program.channels_in(area):
        if channel in program.gases and channel != OXYGEN and program.setpoint(area.id, channel) is not None:
            yield channel


THROUGH = {"": "", FLAMMABLE: ", on the flammable display", VAPOUR: ", on the vapour display"}
"""Channel that the alarm belongs to, where it sees the gas through a factor -> what the label adds."""
SIGNS = {
    "limit": "discs are published limits",
    "alarm": "hollow squares are this site's alarms",
    "fire": "the triangle is the explosive limit",
}
TIMES = (
    ("twa", "h", "Time until the alarm of the 8-hour average", "TWA alarm at"),
    ("stel", "min", "Time until the alarm of the 15-minute average", "STEL alarm at"),
)


def ladder(program: Program, ledger: Ledger, gas: Gas) -> Chart | None:
    """Published limits, alarms and the explosive limit of one gas, on a logarithmic scale."""
    if gas.entry.id == OXYGEN_GAS:
        return None
    marks = [*_limits(program, ledger, gas), *_alarms(program, ledger, gas)]
    lel = keyed.GAS_BOUND_PPM(gas=gas.id, bound="lel")
    if lel in ledger:
        marks.append(Mark(lel, "Lower explosive limit", "fire"))
    if len(marks) < 2:  # noqa: PLR2004 - one rung is no ladder
        return None
    *first, last = (words for kind, words in SIGNS.items() if any(mark.kind == kind for mark in marks))
    signs = f"{', '.join(first)} and {last}" if first else last
    return Chart(
        title=f"Limits and alarms, {gas.name}",
        description=f"Equal steps up the scale multiply the amount; {signs}.",
        x=None,
        y=Axis(f"{gas.name} in the air", "ppm", log=True),
        marks=tuple(marks),
    )


def time_charts(ledger: Ledger, gas: Gas) -> tuple[Chart, ...]:
    """Time against concentration for each averaged alarm that is set for a gas."""
    made: list[Chart] = []
    for alarm, unit, title, label in TIMES:
        curves: dict[str, list[tuple[str, str]]] = {}
        for figure in ledger.under(keyed.CHART_TIME.start()):
            parts = keyed.CHART_TIME.read(figure.key)
            if parts and (parts["channel"], parts["averaged"]) == (gas.id, alarm):
                point = keyed.CHART_POINT(n=parts["n"], scale=parts["scale"])
                curves.setdefault(parts["area"], []).append((point, figure.key))
        if curves:
            lines = tuple(
                Line(f"{label} {ledger[keyed.SETPOINT(area=area, channel=gas.id, alarm=alarm)].printed}", tuple(points))
                for area, points in curves.items()
            )
            made.append(_times(f"{title}, {gas.name}", unit, lines))
    return tuple(made)


def _times(title: str, unit: str, lines: tuple[Line, ...]) -> Chart:
    description = (
        "Go up from a steady concentration to the line, then left to the time; equal steps along both scales multiply, "
        "and no time is a permission to stay."
    )
    return Chart(title, description, Axis("Steady concentration", "ppm", log=True), Axis("Time", unit, log=True), lines)


def _limits(program: Program, ledger: Ledger, gas: Gas) -> Iterator[Mark]:
    for name in program.limit_lists:
        for kind in KINDS:
            figure = ledger.get(keyed.EXPOSURE_LIMIT(gas=gas.id, list=name, kind=kind.id))
            if figure is not None and figure.rounded > 0:
                yield Mark(figure.key, f"{program.library.limit_list(name).short} {kind.short}")


def _alarms(program: Program, ledger: Ledger, gas: Gas) -> Iterator[Mark]:
    """Low and high alarms: one mark where all areas agree, else the lowest and the highest of them."""
    # the key of an alarm of the gas's own stands for another channel where an area has none
    own = [area for area in program.areas if gas.id in program.channels_in(program.areas[area])]
    for channel, through in THROUGH.items():
        for alarm in ("low", "high"):
            figures = (_alarm(ledger, area, gas.id, alarm, channel) for area in (program.areas if channel else own))
            found = [figure for figure in figures if figure is not None and figure.rounded > 0]
            if found:
                name = f"{spelt_alarm_word(alarm, str, gas.id)}{through}"
                yield from _ends(name, sorted(found, key=lambda figure: figure.rounded))


def _alarm(ledger: Ledger, area: str, gas: str, alarm: str, channel: str) -> Figure | None:
    """What is there of a gas when an alarm sounds, in ppm where that is known."""
    own = keyed.SETPOINT(area=area, channel=gas, alarm=alarm)
    if channel == VAPOUR:
        return ledger.get(keyed.SETPOINT_VAPOUR.on(own))
    if channel == FLAMMABLE:
        ppm = ledger.get(keyed.SETPOINT_PPM(area=area, gas=gas, alarm=alarm, channel=channel))
        return ppm or ledger.get(keyed.SETPOINT_VOLUME.on(own))
    return ledger.get(own)


def _ends(name: str, found: list[Figure]) -> Iterator[Mark]:
    if found[0].rounded == found[-1].rounded:
        yield Mark(found[0].key, name, "alarm")
        return
    yield Mark(found[0].key, f"{name}, lowest", "alarm")
    yield Mark(found[-1].key, f"{name}, highest", "alarm")
