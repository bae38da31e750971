"""Alarms beside the limits that they are to keep: what is there when each sounds, and who names the limit."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from builder.base.quantity import magnitude, quantity
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.figures.topics.areas import limit_key
from builder.findings import alarms
from builder.findings.wording import short_list
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.program import Program
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR
from builder.reference.rules import Rule, rules_for


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitComparison:
    """What is really there when an alarm sounds, beside the limit."""

    placed: alarms.PlacedAlarm
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


def comparisons(program: Program, ledger: Ledger) -> Iterator[LimitComparison]:
    """Every alarm that has a limit to be compared with."""
    for placed in alarms.placed_alarms(program, ledger):
        if placed.channel == FLAMMABLE:
            for key in alarms.limit_keys(placed, ledger):
                yield from _flammable(program, placed, ledger, key)
            yield from _by_volume(program, placed, ledger)
        elif placed.channel == OXYGEN:
            yield from _oxygen(program, placed, ledger)
        else:
            yield from _protecting(program, placed, ledger)
            yield from _rule_comparisons(program, placed, ledger)


def _flammable(program: Program, placed: alarms.PlacedAlarm, ledger: Ledger, key: str) -> Iterator[LimitComparison]:
    limit, rules, found = ledger[key], _rules(program, placed.area, key), False
    for hazard in placed.area.hazards:
        gas = hazard.gas.value
        factor = alarms.worst_factor(placed, gas)
        if factor is not None:
            found = True
            shown = ledger.get(keyed.SETPOINT_TRUE(area=placed.area.id, gas=gas, alarm=placed.alarm.name))
            name = program.gases[gas].name
            yield _comparison(placed, gas=name, factor=factor, shown=shown, limit=limit, rules=rules)
    if not found:
        value = placed.figure.rounded
        yield LimitComparison(placed=placed, gas="", value=value, shown=placed.figure, limit=limit, rules=rules)


def _by_volume(program: Program, placed: alarms.PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    """A flammable alarm beside rules that name methane in %vol, as those of mines do."""
    for key in alarms.volume_keys(placed, ledger):
        for hazard in placed.area.hazards:
            gas = hazard.gas.value
            shown = ledger.get(keyed.SETPOINT_VOLUME(area=placed.area.id, gas=gas, alarm=placed.alarm.name))
            if shown is not None and program.gases[gas].entry.id == alarms.METHANE:
                name, rules = program.gases[gas].name, _rules(program, placed.area, key)
                yield _comparison(placed, gas=name, factor=Fraction(1), shown=shown, limit=ledger[key], rules=rules)


def _oxygen(program: Program, placed: alarms.PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    for key in alarms.limit_keys(placed, ledger):
        yield LimitComparison(
            placed=placed,
            gas="",
            value=placed.figure.rounded,
            shown=placed.figure,
            limit=ledger[key],
            falling=placed.alarm.name == "low",
            rules=_rules(program, placed.area, key),
        )


def _protecting(program: Program, placed: alarms.PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    limit, factor = ledger.get(alarms.protects_key(placed)), alarms.protected_factor(placed)
    if limit is None or factor is None:
        return
    gas = alarms.protected_gas(placed)
    key = keyed.SETPOINT_VAPOUR(area=placed.area.id, gas=gas, alarm=placed.alarm.name)
    shown = ledger.get(key) if placed.channel == VAPOUR else placed.figure
    name = program.gases[gas].name if placed.alarm.protects_gas else ""
    yield _comparison(placed, gas=name, factor=factor, shown=shown, limit=limit)


def _rule_comparisons(program: Program, placed: alarms.PlacedAlarm, ledger: Ledger) -> Iterator[LimitComparison]:
    """The first alarm of a toxic gas, beside what a rule of the place says of that gas; later ones sound after it."""
    substance = program.gases[placed.channel].entry.id if placed.channel in program.gases else ""
    for key in alarms.ruled_keys(placed.area, substance, ledger) if alarms.is_first(placed) else ():
        rules = _rules(program, placed.area, key)
        yield _comparison(placed, gas="", factor=Fraction(1), shown=placed.figure, limit=ledger[key], rules=rules)


def _comparison(
    placed: alarms.PlacedAlarm,
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


def places(group: Iterable[alarms.PlacedAlarm | LimitComparison]) -> str:
    """Names of the areas of alarms, each once."""
    return short_list(list(dict.fromkeys(_of(one).area.name for one in group)))


def area_references(group: Iterable[alarms.PlacedAlarm | LimitComparison]) -> tuple[str, ...]:
    """References to the areas of alarms, each once."""
    return tuple(dict.fromkeys(f"area:{_of(one).area.id}" for one in group))


def _of(one: alarms.PlacedAlarm | LimitComparison) -> alarms.PlacedAlarm:
    return one.placed if isinstance(one, LimitComparison) else one
