"""Every alarm of every area: whose limit it keeps, by which factor it sounds, and which rules bear on it."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.quantity import magnitude
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.topics import factors, setpoints
from builder.figures.topics.areas import limit_key
from builder.findings.sensor_coverage import Fitted, sees
from builder.findings.wording import channel_words
from builder.program.alarm_words import alarm_of
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, Sensor
from builder.program.setpoints import Alarm, Setpoint
from builder.reference.published import Published
from builder.reference.rules import OF_ALARMS

METHANE = "methane"
"""The library's gas, and what rules limit that name it by volume."""
SETPOINTS = "page:setpoints"
"""What a fault of alarms in several areas is about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedAlarm:
    """One alarm as it stands in one area."""

    area: Area
    entry: Setpoint
    alarm: Alarm
    figure: Figure
    """What the instrument is set to."""
    fitted: tuple[Fitted, ...]
    """Sensors of that channel there."""

    @property
    def channel(self) -> str:
        """The channel it belongs to."""
        return self.entry.channel.value

    @property
    def called(self) -> str:
        """The alarm in words."""
        return alarm_of(self.alarm.name, self.channel, channel_words(self.channel))


def placed_alarms(program: Program, ledger: Ledger) -> Iterator[PlacedAlarm]:
    """Every alarm in every area whose detectors have its channel."""
    for entry in program.setpoints:
        channel = entry.channel.value
        for area in program.areas_of(entry):
            fitted = program.fitted_in(area, channel)
            for name, alarm in entry.alarms.items():
                figure = ledger.get(keyed.SETPOINT(area=area.id, channel=channel, alarm=name))
                if fitted and figure is not None:
                    yield PlacedAlarm(area=area, entry=entry, alarm=alarm, figure=figure, fitted=fitted)


def limit_keys(placed: PlacedAlarm, ledger: Ledger) -> tuple[str, ...]:
    """Keys of the rules' limits that a flammable or oxygen alarm must keep: one a kind that an alarm bears on.

    Of flammable gas only the first alarm has to sound where a rule wants an alarm, or something done.
    """
    if placed.channel == OXYGEN:
        low_or_high = placed.alarm.name in ("low", "high")
        return ruled_keys(placed.area, f"oxygen-{placed.alarm.name}", ledger) if low_or_high else ()
    return _borne_by(placed, ruled_keys(placed.area, FLAMMABLE, ledger))


def volume_keys(placed: PlacedAlarm, ledger: Ledger) -> tuple[str, ...]:
    """The same for rules that name methane by volume, of a flammable alarm."""
    return _borne_by(placed, ruled_keys(placed.area, METHANE, ledger)) if placed.channel == FLAMMABLE else ()


def _borne_by(placed: PlacedAlarm, keys: tuple[str, ...]) -> tuple[str, ...]:
    return keys if is_first(placed) or len(keys) == 1 else tuple(key for key in keys if keyed.RULE.read(key))


def ruled_keys(area: Area, limited: str, ledger: Ledger) -> tuple[str, ...]:
    """Keys of the strictest rules on a quantity; a duty to test, or a reading to go in by, asks nothing of an alarm."""
    wanted = (limit_key(area.id, limited, kind) for kind in OF_ALARMS)
    return tuple(key for key in wanted if key in ledger.figures)


def is_first(placed: PlacedAlarm) -> bool:
    """Whether no other alarm of the channel sounds before."""
    return placed.alarm.name == next((name for name in ("low", "high") if name in placed.entry.alarms), "")


def protects_key(placed: PlacedAlarm) -> str:
    """Key of the exposure limit that a toxic or vapour alarm names."""
    return keyed.SETPOINT_PROTECTS(area=placed.area.id, channel=placed.channel, alarm=placed.alarm.name)


def worst_factor(placed: PlacedAlarm, gas: str) -> Fraction | None:
    """The largest factor of a gas among the fitted sensors that see it, or ``None`` where none does."""
    found = [factor_on(sensor, gas) for _, _, sensor in placed.fitted if sees(sensor, gas)]
    return max(found, default=None)


def protected_gas(placed: PlacedAlarm) -> str:
    """Gas whose limit a toxic or vapour alarm keeps: the one it names, else the channel's own."""
    return setpoints.protected_gas(placed.alarm, placed.channel, placed.fitted[0][2])


def protected_limit(program: Program, ledger: Ledger, placed: PlacedAlarm) -> Published | None:
    """The published limit that an alarm names, as it counts on the handbook's day; ``None`` without one."""
    if placed.alarm.protects is None:
        return None
    name, _, kind = placed.alarm.protects.value.partition(".")
    entry = program.gases[protected_gas(placed)].entry.id
    return program.library.limits(entry, name, ledger.today).get(kind)


def protected_factor(placed: PlacedAlarm) -> Fraction | None:
    """The largest factor of the protected gas, or ``None`` where one fitted sensor does not see it."""
    gas = protected_gas(placed)
    if not all(sees(sensor, gas) for _, _, sensor in placed.fitted):
        return None
    return worst_factor(placed, gas)


def factor_on(sensor: Sensor, gas: str) -> Fraction:
    """The factor that multiplies the reading of a gas that a sensor sees, as its table gives it."""
    factor = factors.factor_on(sensor, gas)
    return magnitude(factor, "") if factor is not None else Fraction(1)
