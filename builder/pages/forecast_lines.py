"""Lines of the forecast in words and money, for its page and its table."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Final

from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.forecast import BATTERY, CYLINDER, SENSOR, Need, forecast
from builder.program.program import Program

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
