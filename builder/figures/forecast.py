"""What will have to be bought in the next 24 months: sensors, batteries, parts that wear, and check gas."""

from collections.abc import Iterator
from datetime import date, timedelta

from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.figures.formulas.clock import next_due
from builder.figures.ledger import Ledger
from builder.figures.logbook.units import fitted_since
from builder.program.cylinders import Cylinder
from builder.program.interval import Interval
from builder.program.inventory import Unit
from builder.program.keys import families as keyed
from builder.program.program import Program

AHEAD = Interval(count=24, unit="month", text="24 months")
LIFE_ENDS = "its stated life ends"
SENSOR, BATTERY, PART, CYLINDER = KINDS = ("sensor", "battery", "part", "cylinder")


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One thing that is needed by a day."""

    day: date
    """Day by which it must be there; the handbook's day where it should be there already."""
    kind: str
    """One of ``KINDS``."""
    thing: str
    """Id of the kind of sensor, the part or the cylinder; of a battery the model's."""
    unit: str
    """Empty for a cylinder."""
    why: str
    order_by: date | None = None
    """Latest day of the order, where the site says how long one takes."""

    @property
    def price_key(self) -> str:
        """What the list of prices calls it."""
        return f"battery.{self.thing}" if self.kind == BATTERY else self.thing


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """All that is needed, by day, and what cannot be told."""

    start: date
    end: date
    needs: tuple[Need, ...]
    unknown: tuple[str, ...]


def forecast(computed: Computed) -> Forecast:
    """The needs of every unit in use or spare, and of the gas it is checked with."""
    program, ledger = computed.program, computed.ledger
    start = ledger.today
    end = next_due(start, AHEAD)
    units = [unit for unit in program.units.values() if unit.checked]
    needs, unknown = list[Need](), dict[str, int]()
    for unit in units:
        for one in _of_unit(computed, unit, start, end):
            if isinstance(one, Need):
                needs.append(one)
            else:
                unknown[one] = unknown.get(one, 0) + 1
    for cylinder in program.bottles:
        if any(unit.checked_with(cylinder.id) for unit in units):
            needs += _gas(program, ledger, cylinder, start, end)
            if keyed.CYLINDER_TESTS_A_DAY(cylinder=cylinder.id) not in ledger:
                unknown[f"how fast cylinder {cylinder.id} is used: no check with it in the last four weeks"] = 1
    needs.sort(key=lambda need: (need.day, KINDS.index(need.kind), need.thing, need.unit))
    told = (f"{what} ({count})" if count > 1 else what for what, count in unknown.items())
    return Forecast(start=start, end=end, needs=tuple(needs), unknown=tuple(told))


def _of_unit(computed: Computed, unit: Unit, start: date, end: date) -> Iterator[Need | str]:
    program, log = computed.program, computed.logbook.units.get(unit.id)
    model = program.models[unit.model.value]
    for _, sensor in program.fitted(model):
        fitted = fitted_since(unit, sensor.id, log)
        if fitted is None:
            yield f"when {sensor.name} was fitted"
        else:
            for day in _ends(next_due(fitted, sensor.life.value), sensor.life.value, start, end):
                yield Need(day=day, kind=SENSOR, thing=sensor.id, unit=unit.id, why=LIFE_ENDS)
    if model.battery.life is not None and unit.battery is None:
        yield f"when the battery of {model.name} was fitted"
    elif model.battery.life is not None and unit.battery is not None:
        life = model.battery.life.value
        for day in _ends(next_due(unit.battery.value, life), life, start, end):
            yield Need(day=day, kind=BATTERY, thing=model.id, unit=unit.id, why=LIFE_ENDS)
    yield from _parts(computed, unit, start, end)


def _ends(first: date, every: Interval, start: date, end: date) -> Iterator[date]:
    """Each end of a life, the first one told; one that lies behind is due at once, and counts anew from then."""
    day = max(first, start)
    while day <= end:
        yield day
        day = next_due(day, every)


def _parts(computed: Computed, unit: Unit, start: date, end: date) -> Iterator[Need | str]:
    for check in computed.program.checks.values():
        asked = check.strictest_of(unit)
        if check.kind != "replacement" or check.part is None or asked is None or not asked.interval.value.by_calendar:
            continue
        if not computed.program.has_part(unit, check):
            continue
        figure = computed.ledger.get(keyed.UNIT_DUE(unit=unit.id, check=check.id))
        if figure is None or not isinstance(figure.exact, date):
            yield f"when {check.name.lower()} was last done"
            continue
        for day in _ends(figure.exact, asked.interval.value, start, end):
            yield Need(day=day, kind=PART, thing=check.part.value, unit=unit.id, why="changed by its interval")


def _gas(program: Program, ledger: Ledger, cylinder: Cylinder, start: date, end: date) -> Iterator[Need]:
    """The successor of a cylinder, and each that follows at the present use."""
    keys = (keyed.CYLINDER_USABLE_UNTIL(cylinder=cylinder.id), keyed.CYLINDER_EXPIRES(cylinder=cylinder.id))
    day = next((ledger.day(key) for key in keys if key in ledger), None)
    lead = ledger.get(keyed.SITE_GAS_LEAD_TIME())
    days = int(lead.number) if lead else 0
    lasts = _lasts(program, ledger, cylinder)
    why = "gas runs out, or its last day comes"
    while day is not None and day <= end:
        needed = max(day, start)
        order = needed - timedelta(days=days) if lead else None
        yield Need(day=needed, kind=CYLINDER, thing=cylinder.id, unit="", why=why, order_by=order)
        day = needed + timedelta(days=lasts) if lasts else None
        why = "gas runs out at the use of the last four weeks"


def _lasts(program: Program, ledger: Ledger, cylinder: Cylinder) -> int:
    """Days that a new one of its size covers, rounded down; 0 where present use is not known."""
    rate = ledger.get(keyed.CYLINDER_TESTS_A_DAY(cylinder=cylinder.id))
    alike = (one.id for one in program.cylinders.values() if one.volume.value == cylinder.volume.value)
    tests = [found.number for one in alike if (found := ledger.get(keyed.CYLINDER_TESTS_LEFT(cylinder=one)))]
    if rate is None or not tests or rate.number <= 0:
        return 0
    return max(1, int(max(tests) / rate.number))
