"""Settings read back from instruments beside what this handbook says they are."""

from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction
from functools import lru_cache

from builder.base.quantity import QuantityError, magnitude, parse_number, parse_quantity, same_dimension
from builder.base.record import dataclass
from builder.base.where import Given
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger, figures_there
from builder.program.areas import Area
from builder.program.configuration_readback import TIMES
from builder.program.inventory import Unit
from builder.program.keys.families import FACTOR, MODEL_MOTIONLESS, MODEL_WARNING, SETPOINT, SPAN_ENTER
from builder.program.models import Model
from builder.program.program import Program
from builder.program.records import Cell, ReadBackSetting, Record
from builder.program.sensors import OXYGEN, Sensor
from builder.program.setpoints import ALARMS

CLOCK = Fraction(300)
"""Seconds that a clock may be out where the site does not say: common practice, no published source."""
USUAL = {"alarm-delay": "0 s"}
"""What is wanted where neither site nor model says: an alarm that waits for nothing."""
TIMERS = {"motionless": MODEL_MOTIONLESS, "warning": MODEL_WARNING}


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingDifference:
    """One setting that is not what the handbook says."""

    setting: ReadBackSetting
    expected: str
    """What the handbook says, as printed."""
    worse: bool
    """Whether the instrument is set less safely."""
    figures: tuple[Figure, ...]

    def name(self, program: Program) -> str:
        """What it is called, with its sensor."""
        sensor = self.setting.sensor
        return f"{self.setting.name.value}{f' of {program.sensors[sensor.value].name}' if sensor else ''}"

    @property
    def is_told(self) -> str:
        """What the content tells of it, in words."""
        return f"{'was set to' if self.setting.changed else 'was read as'} {self.setting.value.text}"


def latest(program: Program, as_of: date) -> dict[tuple[str, str, str], ReadBackSetting]:
    """The last reading of each setting of each unit, or the record of a change after it; of one day the later row."""
    made: dict[tuple[str, str, str], ReadBackSetting] = {}
    changes = (record for record in program.records if record.kind.value == "setting-change" and record.day <= as_of)
    for setting in sorted((*map(_set_by, changes), *program.settings), key=lambda one: one.read_on.value):
        made[setting.unit.value, setting.sensor.value if setting.sensor else "", setting.name.value] = setting
    return made


def _set_by(record: Record) -> ReadBackSetting:
    """A change on record, as if it had been read."""
    name, value, sensor = record.setting or Cell("", ""), record.value or Cell("", ""), record.sensor
    return ReadBackSetting(
        unit=record.given(record.unit),
        read_on=Given(record.day, record.where, record.time.text),
        sensor=record.given(sensor) if sensor else None,
        name=record.given(name),
        value=record.given(value),
        where=record.where,
        changed=True,
    )


def differences(program: Program, ledger: Ledger) -> Iterator[SettingDifference]:
    """Every last setting of a unit, whatever its state, where it differs."""
    settings = latest(program, ledger.today)
    for (name, sensor, what), setting in settings.items():
        unit = program.units.get(name)
        if unit is None:
            continue
        kind = program.sensors.get(sensor)
        found: SettingDifference | None = None
        if what in TIMERS:
            found = _timer(ledger, unit, setting)
        elif kind is None:
            found = _wanted(program, unit, setting)
        elif what == "on" and setting.value.value != "yes":
            found = SettingDifference(setting=setting, expected="yes", worse=True, figures=())
        elif what == "span":
            found = _span(ledger, unit, kind, setting)
        elif what in ALARMS:
            found = _alarm(program, ledger, unit, kind, setting)
        elif what == "target":
            found = _target(program, ledger, kind, setting)
        elif what == "factor":
            target = settings.get((name, sensor, "target"))
            found = _factor(ledger, kind, setting, target.value.value if target else kind.shows.value)
        if found is not None:
            yield found


@lru_cache(maxsize=4096)
def number_of(text: str, unit: str) -> Fraction | None:
    """The magnitude of a text in a unit, or ``None`` when it is of another kind."""
    try:
        if not unit:
            return parse_number(text)
        value, _ = parse_quantity(text)
        return magnitude(value, unit) if same_dimension(value, unit) else None
    except QuantityError:
        return None


def _timer(ledger: Ledger, unit: Unit, setting: ReadBackSetting) -> SettingDifference | None:
    figure = ledger.get(TIMERS[setting.name.value](model=unit.model.value))
    value = number_of(setting.value.value, "s")
    if figure is None or value == figure.exact:
        return None
    worse = value is None or value > figure.rounded
    return SettingDifference(setting=setting, expected=figure.printed, worse=worse, figures=(figure,))


def _alarm(
    program: Program, ledger: Ledger, unit: Unit, sensor: Sensor, setting: ReadBackSetting
) -> SettingDifference | None:
    """The strictest of the setpoints of all areas it is for; a unit of a pool goes wherever its model is allowed."""
    channel, name = sensor.channel.value, setting.name.value
    figure = strictest_setpoint(ledger, program.areas_of_unit(unit), channel, name)
    if figure is None:
        return None
    falling = channel == OXYGEN and name == "low"
    value = number_of(setting.value.value, figure.unit)
    if value == figure.rounded:
        return None
    worse = not setting.changed if value is None else value < figure.rounded if falling else value > figure.rounded
    return SettingDifference(setting=setting, expected=figure.printed, worse=worse, figures=(figure,))


def _wanted(program: Program, unit: Unit, setting: ReadBackSetting) -> SettingDifference | None:
    """A setting of the whole unit beside what the site wants; an alarm that lets go, or calls nobody, is less safe."""
    name, read = setting.name.value, setting.value.value
    given = program.wanted_of(unit.model.value).get(name)
    wanted = given.value if given else model_says(program.models[unit.model.value], name) or USUAL.get(name)
    if name == "clock":
        allowed = number_of(wanted, "s") if wanted else CLOCK
        off = number_of(read, "s")
        if off is None or allowed is None or abs(off) <= allowed:
            return None
        return SettingDifference(setting=setting, expected=f"right to {allowed} s", worse=False, figures=())
    if wanted is None or same_setting(name, read, wanted):
        return None
    worse = wanted == "yes" if name in ("latching", "relay") else name == "alarm-delay" and _longer(read, wanted)
    return SettingDifference(setting=setting, expected=wanted, worse=worse, figures=())


def same_setting(name: str, read: str, wanted: str) -> bool:
    """Whether two spellings of one setting of a unit mean the same."""
    return read == wanted or (name in TIMES and number_of(read, "s") == number_of(wanted, "s"))


def _longer(read: str, wanted: str) -> bool:
    """Whether an alarm waits longer than it should; a time that cannot be read does not count as short."""
    times = number_of(read, "s"), number_of(wanted, "s")
    return times[0] is None or times[1] is None or times[0] > times[1]


def model_says(model: Model, name: str) -> str | None:
    """What the description of a model has of a setting."""
    modes = model.alarm_modes
    if name == "latching" and modes and modes.latches is not None:
        return "yes" if modes.latches else "no"
    if name == "alarm-delay" and modes and modes.delay:
        return modes.delay.text
    if name == "log-interval" and model.log and model.log.interval:
        return model.log.interval.text
    if name == "average-base" and model.averages:
        return model.averages.stel_over.text
    if name == "relay" and model.relay:
        return "yes" if model.relay.reaches else "no"
    return None


def _span(ledger: Ledger, unit: Unit, sensor: Sensor, setting: ReadBackSetting) -> SettingDifference | None:
    """The span value, where the bottle the unit is calibrated with asks for one: above it the display reads high."""
    keys = (SPAN_ENTER(cylinder=given.value, sensor=sensor.id) for given in unit.cylinders)
    figure = next(figures_there(ledger, keys), None)
    value = number_of(setting.value.value, figure.unit) if figure else None
    if figure is None or value in (figure.exact, figure.rounded):
        return None
    return SettingDifference(
        setting=setting, expected=figure.printed, worse=value is None or value < figure.rounded, figures=(figure,)
    )


def _target(program: Program, ledger: Ledger, sensor: Sensor, setting: ReadBackSetting) -> SettingDifference | None:
    """Another target gas multiplies every reading by its factor: less safe where that is below 1 or not known."""
    target = setting.value.value
    if target == sensor.shows.value:
        return None
    figure = ledger.get(FACTOR(sensor=sensor.id, gas=target))
    shown = program.gases[sensor.shows.value].name
    worse = figure is None or not isinstance(figure.exact, Fraction) or figure.exact < 1
    return SettingDifference(setting=setting, expected=shown, worse=worse, figures=(figure,) if figure else ())


def _factor(ledger: Ledger, sensor: Sensor, setting: ReadBackSetting, target: str) -> SettingDifference | None:
    figure = ledger.get(FACTOR(sensor=sensor.id, gas=target))
    value = number_of(setting.value.value, "")
    if figure is None or value in (figure.exact, figure.rounded):
        return None
    worse = value is None or value < figure.rounded
    return SettingDifference(setting=setting, expected=figure.printed, worse=worse, figures=(figure,))


def strictest_setpoint(ledger: Ledger, areas: Iterable[Area], channel: str, alarm: str) -> Figure | None:
    """The one that sounds earliest; ``None`` where no area has that alarm."""
    keys = (SETPOINT(area=area.id, channel=channel, alarm=alarm) for area in areas)
    earliest = max if channel == OXYGEN and alarm == "low" else min
    return earliest(figures_there(ledger, keys), key=lambda one: one.rounded, default=None)
