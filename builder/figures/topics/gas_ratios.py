"""How strong each cylinder is beside the alarms of the units that are bumped with it."""

from collections.abc import Callable, Iterable

from builder.base.quantity import same_dimension
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import acceptance
from builder.figures.ledger import figures_there
from builder.figures.recorder import FigureRecorder
from builder.figures.terms import as_set
from builder.program.gas_plan import checks_of, cylinders_for, own_cylinder
from builder.program.keys.families import BUMP_RATIO, SETPOINT, WINDOW_EXPECTED
from builder.program.program import Program
from builder.program.sensors import OXYGEN

BUMP_TEST = "bump-test"
WEAKER = Rounding(direction=Direction.DOWN, digits=3, why="gas is never called stronger than it is")
NEARER = Rounding(direction=Direction.UP, digits=3, why="gas is never called further below an alarm than it is")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``bump.<cylinder>.<sensor>.<alarm>.ratio``; needs windows and setpoints."""
    for (cylinder, sensor), areas in _used_in(recorder.program).items():
        gas = _shown(recorder, cylinder, sensor)
        with recorder.at(recorder.program.cylinders[cylinder].where):
            if gas is None:
                continue
            channel = recorder.program.sensors[sensor].channel.value
            highest = _set(recorder, areas, channel, ("high",) if channel == OXYGEN else ("low", "high"))
            _ratio(recorder, BUMP_RATIO(cylinder=cylinder, sensor=sensor, alarm="high"), gas, max, WEAKER, highest)
            if channel == OXYGEN:
                lowest = _set(recorder, areas, channel, ("low",))
                _ratio(recorder, BUMP_RATIO(cylinder=cylinder, sensor=sensor, alarm="low"), gas, min, NEARER, lowest)


def _used_in(program: Program) -> dict[tuple[str, str], dict[str, None]]:
    """By cylinder and sensor the areas of the units; oxygen is asked of every cylinder of a unit that holds some."""
    made: dict[tuple[str, str], dict[str, None]] = {}
    for unit in program.units.values():
        cylinders = cylinders_for(program, unit, BUMP_TEST) if unit.checked else ()
        for _, sensor in program.fitted(program.models[unit.model.value]):
            own = own_cylinder(cylinders, sensor)
            holding = [one for one in cylinders if sensor.channel.value == OXYGEN and one.component(OXYGEN)]
            for cylinder in holding or ([own] if own else []):
                made.setdefault((cylinder.id, sensor.id), {}).update(
                    dict.fromkeys(area.id for area in program.areas_of_unit(unit))
                )
    return made


def _shown(recorder: FigureRecorder, cylinder: str, sensor: str) -> Figure | None:
    """What the bump test expects on the display."""
    checks = checks_of(recorder.program, recorder.program.cylinders[cylinder])
    keys = (WINDOW_EXPECTED(cylinder=cylinder, sensor=sensor, check=one.id) for one in checks if one.kind == BUMP_TEST)
    return next(figures_there(recorder.ledger, keys), None)


def _set(recorder: FigureRecorder, areas: Iterable[str], channel: str, alarms: tuple[str, ...]) -> list[Figure]:
    keys = (SETPOINT(area=area, channel=channel, alarm=alarm) for area in areas for alarm in alarms)
    return list(figures_there(recorder.ledger, keys))


def _ratio(
    recorder: FigureRecorder,
    key: str,
    gas: Figure,
    pick: Callable[..., Figure],
    rounding: Rounding,
    alarms: list[Figure],
) -> None:
    found = [figure for figure in alarms if same_dimension(gas.amount, figure.unit) and figure.rounded > 0]
    if found:
        alarm = pick(found, key=lambda figure: figure.rounded)
        label = f"{gas.label.replace('Expected display, ', '')}: gas against {alarm.label}"
        recorder.derived(key, label, "", rounding, acceptance.bump_ratio, gas, as_set(alarm))
