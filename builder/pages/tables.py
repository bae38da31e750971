"""The program's data as plain tables for other people's programs: printed text, and exact values beside it."""

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Final, TypeAlias

from builder.base.quantity import printed_unit
from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.figures.computed import Computed
from builder.figures.figure import Figure, day_text
from builder.figures.forecast import BATTERY, CYLINDER, SENSOR, Need, forecast
from builder.figures.ledger import Ledger
from builder.program.cylinders import Component, Cylinder
from builder.program.keys import families as keyed
from builder.program.program import Program

SPACES = str.maketrans({"\u00a0": " ", "\u202f": " "})
"""No-break spaces hold words together on paper; in a spreadsheet they only hinder a search."""
Row: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TableFile:
    """One table as text; every row has one cell a column."""

    path: str
    title: str
    columns: Row
    rows: tuple[Row, ...]


def table_files(computed: Computed) -> tuple[TableFile, ...]:
    """Every table of the site."""
    program, ledger = computed.program, computed.ledger
    return (
        _table("units", "Units", _unit_columns(program), _units(program)),
        _table("due", "Checks due", DUE, _due(computed)),
        _table("cylinders", "Calibration gas, a row a component", CYLINDERS, _cylinders(program, ledger)),
        _table("setpoints", "Alarm setpoints", SETPOINTS, _setpoints(program, ledger)),
        _table("forecast", "Forecast of replacements", FORECAST, forecast_rows(computed)),
        _table("figures", "Every figure", FIGURES, _figures(ledger)),
    )


def _table(name: str, title: str, columns: Row, rows: Iterable[Row]) -> TableFile:
    return TableFile(path=f"data/{name}.csv", title=title, columns=columns, rows=tuple(rows))


def _printed(figure: Figure | None) -> str:
    return figure.printed.translate(SPACES) if figure else ""


def _decimal(figure: Figure | None) -> str:
    """The exact value as a decimal (of twelve digits where it has no end), or the day in ISO 8601."""
    if figure is None:
        return ""
    return figure.exact.isoformat() if isinstance(figure.exact, date) else plain(figure.exact)


def _both(figure: Figure | None) -> Row:
    return (_printed(figure), _decimal(figure))


# ---- units and what falls due ---------------------------------------------------


def _unit_columns(program: Program) -> Row:
    """The heads of an inventory file, so that the table can be read back as one."""
    heads = ("id", "model", "serial", "state", "area", "pool", "cylinder", "note")
    return (*heads, *(f"last.{check}" for check in program.checks))


def _units(program: Program) -> Iterator[Row]:
    for unit in program.units.values():
        given = (unit.model, unit.serial, unit.state, unit.area, unit.pool)
        done = (unit.last.get(check) for check in program.checks)
        yield (
            unit.id,
            *(part.value if part else "" for part in given),
            " ".join(cylinder.value for cylinder in unit.cylinders),
            unit.note,
            *(day.value.isoformat() if day else "" for day in done),
        )


DUE = (
    "unit", "serial", "model", "area", "place", "check", "check name", "state",
    "last good", "last good, exact", "holds until the end of", "holds until the end of, exact",
)  # fmt: skip


def _due(computed: Computed) -> Iterator[Row]:
    program, ledger = computed.program, computed.ledger
    for due in computed.due_checks:
        unit, check = due.unit, due.check
        yield (
            unit.id,
            unit.serial.value,
            program.models[unit.model.value].name,
            unit.area.value if unit.area else "",
            program.areas[unit.area.value].name if unit.area else unit.place,
            check.id,
            check.name,
            due.state.value,
            *_both(ledger.get(keyed.UNIT_LAST(unit=unit.id, check=check.id))),
            *_both(ledger.get(due.key) if due.key else None),
        )


# ---- gas and alarms ---------------------------------------------------------------

CYLINDERS = (
    "cylinder", "lot", "kept at", "gas", "gas name", "certified", "certified, exact", "uncertainty",
    "uncertainty, exact", "on the site's LEL basis", "on the site's LEL basis, exact", "label", "last day of use",
    "last day of use, exact", "checks left", "checks left, exact", "serves", "certificate", "certified by",
    "certified on", "certified on, exact", "traceable to",
)  # fmt: skip


def _cylinders(program: Program, ledger: Ledger) -> Iterator[Row]:
    for cylinder in program.cylinders.values():
        for part in cylinder.components:
            yield _component(program, ledger, cylinder, part)


def _component(program: Program, ledger: Ledger, cylinder: Cylinder, part: Component) -> Row:
    gas = keyed.CYLINDER_GAS(cylinder=cylinder.id, gas=part.gas.value)
    return (
        cylinder.id,
        cylinder.lot.value,
        cylinder.location,
        part.gas.value,
        program.gases[part.gas.value].name,
        *_both(ledger.get(gas)),
        *_both(ledger.get(keyed.CYLINDER_GAS_UNCERTAINTY.on(gas))),
        *_both(ledger.get(keyed.CYLINDER_GAS_LEL.on(gas))),
        _printed(ledger.get(keyed.CYLINDER_GAS_LABEL.on(gas))),
        *_both(ledger.get(keyed.CYLINDER_EXPIRES(cylinder=cylinder.id))),
        *_both(ledger.get(keyed.CYLINDER_TESTS_LEFT(cylinder=cylinder.id))),
        " ".join(given.value for given in cylinder.checks),
        cylinder.certificate.value,
        cylinder.certified_by.value if cylinder.certified_by else "",
        *_both(ledger.get(keyed.CYLINDER_CERTIFIED_ON(cylinder=cylinder.id))),
        cylinder.traceable_to.value if cylinder.traceable_to else "",
    )


SETPOINTS = ("area", "area name", "channel", "alarm", "set to", "set to, exact", "unit", "reason", "action")


def _setpoints(program: Program, ledger: Ledger) -> Iterator[Row]:
    for area in program.areas.values():
        for channel in program.channels_in(area):
            entry = program.setpoint(area.id, channel)
            for name, alarm in entry.alarms.items() if entry else ():
                figure = ledger.get(keyed.SETPOINT(area=area.id, channel=channel, alarm=name))
                if entry and figure:
                    unit = printed_unit(figure.unit)
                    words = (entry.reason.value, alarm.action.value)
                    # What the instrument is set to is the rounded value: it is exact as it is printed.
                    yield (area.id, area.name, channel, name, _printed(figure), plain(figure.rounded), unit, *words)


# ---- the ledger ---------------------------------------------------------------------

FIGURES = (
    "key", "what", "printed", "number", "unit", "relation", "decimal", "exact numerator", "exact denominator",
    "rounding", "formula", "source", "read in its source", "note",
)  # fmt: skip


def _figures(ledger: Ledger) -> Iterator[Row]:
    for key in sorted(ledger.figures):
        figure = ledger.figures[key]
        # A fraction such as 5/19 is two cells: as one, a spreadsheet takes it for a day in May.
        parts = ("", "") if isinstance(figure.exact, date) else (figure.exact.numerator, figure.exact.denominator)
        yield (
            figure.key,
            figure.label,
            _printed(figure),
            figure.text.translate(SPACES),
            printed_unit(figure.unit),
            figure.relation,
            _decimal(figure),
            *map(str, parts),
            figure.rounding.words if figure.rounding else "",
            figure.formula,
            figure.source,
            "yes" if figure.read else "no",
            figure.note.translate(SPACES),
        )


# ---- the forecast, in words and money ------------------------------------------------------


FORECAST_FILE: Final = "data/forecast.csv"
FORECAST: Final = (
    "order by", "order by, exact", "needed by", "needed by, exact", "kind", "id", "what", "unit", "area", "why",
    "count", "price of one", "cost", "currency",
)  # fmt: skip


def thing_name(program: Program, need: Need) -> str:
    """What is to be bought, in words."""
    if need.kind == SENSOR:
        return program.sensors[need.thing].name
    if need.kind == BATTERY:
        return f"Battery of {program.models[need.thing].name}"
    return f"Check gas as {need.thing}" if need.kind == CYLINDER else need.thing.replace("-", " ").capitalize()


def cost_text(program: Program, need: Need, count: int = 1) -> str:
    """The price of so many, with two decimals; empty where the site's list has none."""
    given = program.prices.each.get(need.price_key)
    return "" if given is None else money(given.value * count)


def money(value: Fraction) -> str:
    """An amount with two decimals, rounded up: a budget is never made smaller than it is."""
    return f"{Decimal(-(-value * 100 // 1)) / 100:.2f}"


def forecast_rows(computed: Computed) -> Iterator[tuple[str, ...]]:
    """A line for each thing that is needed; price and cost are left empty where the site gives none."""
    program = computed.program
    for need in forecast(computed).needs:
        unit = program.units.get(need.unit)
        cost = cost_text(program, need)
        yield (
            day_text(need.order_by).replace("\u00a0", " ") if need.order_by else "",
            need.order_by.isoformat() if need.order_by else "",
            day_text(need.day).replace("\u00a0", " "),
            need.day.isoformat(),
            need.kind,
            need.thing,
            thing_name(program, need),
            need.unit,
            unit.area.value if unit and unit.area else "",
            need.why,
            "1",
            cost,
            cost,
            program.prices.currency if cost else "",
        )
