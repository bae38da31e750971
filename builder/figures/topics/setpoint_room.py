"""How near to its limit an alarm may be set, with the instrument's error taken off."""

from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import magnitude, quantity, same_dimension
from builder.base.record import dataclass
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import acceptance, response
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import falling_alarm, rising_alarm
from builder.figures.terms import Term, constant, exactly, written
from builder.program.alarm_words import alarm_of
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.sensors import OXYGEN, Sensor
from builder.program.setpoints import Setpoint
from builder.program.tolerance import Tolerance

DISPLAY = Rounding(direction=Direction.DOWN, digits=3, why="a limit is never printed looser than it is")
ERROR = Rounding(direction=Direction.UP, digits=2, why="an error is never printed smaller than it is")

ITSELF = constant("factor", quantity(1, ""), "1", source="the display shows the gas itself")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelHere:
    """One channel in one area, with the step and unit its detectors share."""

    area: Area
    channel: str
    entry: Setpoint
    unit: str
    step: Fraction

    def rounding(self, alarm: str) -> Rounding:
        """To what the instrument can be set to, always to the side on which it sounds earlier."""
        return falling_alarm(self.step) if self.falls(alarm) else rising_alarm(self.step)

    def falls(self, alarm: str) -> bool:
        """Whether an alarm tells of too little."""
        return self.channel == OXYGEN and alarm == "low"


def errors_of(sensors: tuple[Sensor, ...]) -> tuple[Tolerance, ...] | None:
    """The errors of sensors; ``None`` where one of them is not known."""
    known = tuple(sensor.error for sensor in sensors if sensor.error is not None)
    return known if len(known) == len(sensors) else None


def less_error(
    recorder: FigureRecorder, place: ChannelHere, alarm: str, limit: Figure, factor: Figure | None
) -> Figure | None:
    """The last setting that keeps a limit whatever the instrument's error.

    ``None`` where units cannot be compared, an error is not known, or it leaves no setting at all.
    """
    sensors = tuple(sensor for _, _, sensor in recorder.program.fitted_in(place.area, place.channel))
    errors = errors_of(sensors)
    if not errors or not same_dimension(limit.amount, place.unit):
        return None
    part = {"area": place.area.id, "channel": place.channel, "alarm": alarm}
    words = f"the {_called(place, alarm)}"
    shown = limit
    if factor is not None:
        label = f"Display at the limit of {words}"
        terms = (exactly(limit), exactly(factor, "largest response factor"))
        shown = recorder.derived(
            keyed.SETPOINT_AT_LIMIT(**part), label, place.unit, DISPLAY, response.display_at_limit, *terms
        )
    error = recorder.derived(
        keyed.SETPOINT_ERROR(**part),
        f"Error of the display at {words}",
        place.unit,
        ERROR,
        acceptance.tolerance,
        _parts(recorder, errors, part, shown, place.unit),
        note="largest of the detectors allowed here, as their manuals state it",
    )
    try:
        return _setting(recorder, place, alarm, (limit, factor, error))
    except OutOfRangeError:  # the error leaves nothing: told by the finding about room at a limit
        return None


def _called(place: ChannelHere, alarm: str) -> str:
    return f"{alarm_of(alarm, place.channel, place.channel.replace('-', ' '))} in {place.area.name}"


def _setting(
    recorder: FigureRecorder, place: ChannelHere, alarm: str, found: tuple[Figure, Figure | None, Figure]
) -> Figure:
    limit, factor, error = found
    key = keyed.SETPOINT_LESS_ERROR(area=place.area.id, channel=place.channel, alarm=alarm)
    label = f"Last setting of the {_called(place, alarm)} with the error taken off"
    rounding = place.rounding(alarm)
    if place.falls(alarm):
        terms = (exactly(limit), exactly(error))
        return recorder.derived(key, label, place.unit, rounding, response.falling_setpoint, *terms)
    one = exactly(factor, "largest response factor") if factor is not None else ITSELF
    return recorder.derived(key, label, place.unit, rounding, response.setpoint_display, limit, one, error)


def _parts(
    recorder: FigureRecorder, errors: tuple[Tolerance, ...], part: dict[str, str], shown: Figure, unit: str
) -> list[Term]:
    """Every absolute error once, though several models hold the sensor, and the largest share of what is shown."""
    parts = [
        written("error", given) for given in dict.fromkeys(error.absolute for error in errors) if given is not None
    ]
    shares = [error.relative for error in errors if error.relative is not None]
    if shares:
        largest = max(shares, key=lambda given: magnitude(given.value, "%"))
        label = "Error as a share of the display at the limit"
        terms = (written("error, of the reading", largest), exactly(shown))
        made = recorder.derived(keyed.SETPOINT_ERROR_SHARE(**part), label, unit, ERROR, acceptance.share, *terms)
        parts.append(exactly(made))
    return parts
