"""Every alarm of every area beside the limit it must not pass, in exact values."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.base.quantity import magnitude, quantity
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.topics import factors
from builder.figures.topics.areas import limit_key
from builder.findings.sensor_coverage import Fitted, sees
from builder.findings.wording import channel_words, short_list
from builder.program.alarm_words import alarm_of
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR, Sensor
from builder.program.setpoints import Alarm, Setpoint
from builder.reference.published import Published
from builder.reference.rules import KINDS, Rule, rules_for

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


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitComparison:
    """What is really there when an alarm sounds, beside the limit."""

    placed: PlacedAlarm
    gas: str
    """Gas that is really there; empty where the display itself is compared."""
    value: Fraction
    """What is there, exact, in the unit of the limit."""
    shown: Figure
    """The figure that prints it."""
    limit: Figure
    falling: bool = False
    """Whether the hazard lies below the limit."""
    rules: tuple[Rule, ...] = ()
    """Every rule of the place and activities on the same quantity and of one kind; the limit is the strictest."""

    @property
    def equal(self) -> bool:
        """Whether the alarm stands exactly at the limit."""
        return self.value == self.limit.exact

    @property
    def fires_beyond(self) -> bool:
        """Whether an instrument there sounds only beyond its setpoint."""
        return any(model.alarm_fires.value == "above" for model, _, _ in self.placed.fitted)

    @property
    def beyond(self) -> bool:
        """Whether there is hazardous air in which the alarm is still silent."""
        return isinstance(self.limit.exact, Fraction) and self._passes(self.limit.exact, self.limit.relation)

    @property
    def proved(self) -> bool:
        """Whether a limit that somebody read in its source is passed: the strictest, or a looser one that was read."""
        if not self.shown.read:
            return False
        return self.limit.read or any(rule.read and self._passes(rule.value, rule.relation) for rule in self.rules)

    def _passes(self, limit: Fraction, relation: str) -> bool:
        """At the limit itself only where the limit's own value is hazardous and the alarm is silent at it."""
        if self.value == limit:
            return self.fires_beyond and relation == ("≤" if self.falling else "≥")
        return self.value < limit if self.falling else self.value > limit

    @property
    def sounds_at(self) -> str:
        """The situation in words, as in ``10 %LEL of propane is there``."""
        if not self.gas:
            return f"is set to {self.placed.figure.printed}"
        return f"is set to {self.placed.figure.printed} and sounds at {self.shown.printed} of {self.gas}"


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


def comparisons(program: Program, ledger: Ledger) -> Iterator[LimitComparison]:
    """Every alarm that has a limit to be compared with."""
    for placed in placed_alarms(program, ledger):
        if placed.channel == FLAMMABLE:
            yield from _flammable(program, placed, ledger)
            yield from _by_volume(program, placed, ledger)
        elif placed.channel == OXYGEN:
            yield from _oxygen(program, placed, ledger)
        else:
            yield from _protecting(program, placed, ledger)
            yield from _rule_comparisons(program, placed, ledger)


def _flammable(program: Program, placed: PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    for key in limit_keys(placed, ledger):
        yield from _flammable_beside(program, placed, ledger, key)


def _flammable_beside(program: Program, placed: PlacedAlarm, ledger: Ledger, key: str) -> Iterator[LimitComparison]:
    limit, rules, found = ledger[key], _rules(program, placed.area, key), False
    for hazard in placed.area.hazards:
        gas = hazard.gas.value
        factor = worst_factor(placed, gas)
        if factor is not None:
            found = True
            shown = ledger.get(keyed.SETPOINT_TRUE(area=placed.area.id, gas=gas, alarm=placed.alarm.name))
            name = program.gases[gas].name
            yield _comparison(placed, gas=name, factor=factor, shown=shown, limit=limit, rules=rules)
    if not found:
        value = placed.figure.rounded
        yield LimitComparison(placed=placed, gas="", value=value, shown=placed.figure, limit=limit, rules=rules)


def _by_volume(program: Program, placed: PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    """A flammable alarm beside rules that name methane in %vol, as those of mines do."""
    for key in volume_keys(placed, ledger):
        for hazard in placed.area.hazards:
            gas = hazard.gas.value
            shown = ledger.get(keyed.SETPOINT_VOLUME(area=placed.area.id, gas=gas, alarm=placed.alarm.name))
            if shown is not None and program.gases[gas].entry.id == METHANE:
                name, rules = program.gases[gas].name, _rules(program, placed.area, key)
                yield _comparison(placed, gas=name, factor=Fraction(1), shown=shown, limit=ledger[key], rules=rules)


def _oxygen(program: Program, placed: PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    for key in limit_keys(placed, ledger):
        yield LimitComparison(
            placed=placed,
            gas="",
            value=placed.figure.rounded,
            shown=placed.figure,
            limit=ledger[key],
            falling=placed.alarm.name == "low",
            rules=_rules(program, placed.area, key),
        )


def _protecting(program: Program, placed: PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    limit, factor = ledger.get(protects_key(placed)), protected_factor(placed)
    if limit is None or factor is None:
        return
    gas = protected_gas(placed)
    key = keyed.SETPOINT_VAPOUR(area=placed.area.id, gas=gas, alarm=placed.alarm.name)
    shown = ledger.get(key) if placed.channel == VAPOUR else placed.figure
    name = program.gases[gas].name if placed.alarm.protects_gas else ""
    yield _comparison(placed, gas=name, factor=factor, shown=shown, limit=limit)


def _rule_comparisons(program: Program, placed: PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    """The first alarm of a toxic gas, beside what a rule of the place says of that gas; later ones sound after it."""
    substance = program.gases[placed.channel].entry.id if placed.channel in program.gases else ""
    for key in ruled_keys(placed.area, substance, ledger) if is_first(placed) else ():
        rules = _rules(program, placed.area, key)
        yield _comparison(placed, gas="", factor=Fraction(1), shown=placed.figure, limit=ledger[key], rules=rules)


def _comparison(
    placed: PlacedAlarm,
    *,
    gas: str,
    factor: Fraction,
    shown: Figure | None,
    limit: Figure,
    rules: tuple[Rule, ...] = (),
) -> LimitComparison:
    """What the figure says; where there is none, the setpoint as set times the factor; in the limit's unit."""
    there = quantity(placed.figure.rounded * factor, placed.figure.unit)
    if shown is not None and shown is not placed.figure:
        there = shown.amount
    return LimitComparison(
        placed=placed,
        gas=gas,
        value=magnitude(there, limit.unit),
        shown=shown or placed.figure,
        limit=limit,
        rules=rules,
    )


def _rules(program: Program, area: Area, key: str) -> tuple[Rule, ...]:
    """The rules of which the limit of this key is the strictest."""
    found = rules_for(program.place_of(area).value, [activity.value for activity in area.activities])
    return tuple(rule for rule in found if limit_key(area.id, rule.quantity, rule.kind) == key)


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
    """Keys of the strictest rules on a quantity; a duty to test asks nothing of an alarm."""
    wanted = (limit_key(area.id, limited, kind) for kind in KINDS if kind != "test")
    return tuple(key for key in wanted if key in ledger.figures)


def is_first(placed: PlacedAlarm) -> bool:
    """Whether no other alarm of the channel sounds before."""
    return placed.alarm.name == next((name for name in ("low", "high") if name in placed.entry.alarms), "")


def protects_key(placed: PlacedAlarm) -> str:
    """Key of the exposure limit that a toxic or vapour alarm names."""
    return keyed.SETPOINT_PROTECTS(area=placed.area.id, channel=placed.channel, alarm=placed.alarm.name)


def places(group: Iterable[PlacedAlarm | LimitComparison]) -> str:
    """Names of the areas of alarms, each once."""
    return short_list(list(dict.fromkeys(_of(one).area.name for one in group)))


def area_references(group: Iterable[PlacedAlarm | LimitComparison]) -> tuple[str, ...]:
    """References to the areas of alarms, each once."""
    return tuple(dict.fromkeys(f"area:{_of(one).area.id}" for one in group))


def _of(one: PlacedAlarm | LimitComparison) -> PlacedAlarm:
    return one.placed if isinstance(one, LimitComparison) else one


def worst_factor(placed: PlacedAlarm, gas: str) -> Fraction | None:
    """The largest factor of a gas among the fitted sensors that see it, or ``None`` where none does."""
    found = [factor_on(sensor, gas) for _, _, sensor in placed.fitted if sees(sensor, gas)]
    return max(found, default=None)


def protected_gas(placed: PlacedAlarm) -> str:
    """Gas whose limit a toxic or vapour alarm keeps: the one it names, else the channel's own."""
    if placed.alarm.protects_gas is not None:
        return placed.alarm.protects_gas.value
    return placed.fitted[0][2].shows.value if placed.channel == VAPOUR else placed.channel


def protected_limit(program: Program, ledger: Ledger, placed: PlacedAlarm) -> Published | None:
    """The published limit that an alarm names, as it counts on the handbook's day; ``None`` without one."""
    if placed.alarm.protects is None:
        return None
    name, _, kind = placed.alarm.protects.value.partition(".")
    entry = program.gases[protected_gas(placed)].entry.id
    return program.library.limits(entry, name, ledger.day(keyed.AS_OF())).get(kind)


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
