"""Charts on pages, each with its numbers in a table, so that all of it can be read without the picture."""

from collections.abc import Iterable, Iterator

from builder.base.quantity import printed_unit
from builder.pages.blocks import Axis, Block, Chart, Fig, Inlines, Table
from builder.pages.charts.limits import area_ladder, ladder, time_charts
from builder.pages.charts.readings import displacement_chart
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, assumes, head, inlines, table
from builder.program.areas import Area
from builder.program.gases import OXYGEN_GAS, Gas


def ladder_of_gas(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    """Limits, alarms, danger to life and the explosive limit on one scale."""
    found = ladder(book.program, book.ledger, gas)
    return (found,) if found else ()


def ladder_of_area(book: HandbookContext, area: Area) -> tuple[Block, ...]:
    """The alarms of an area on one scale."""
    found = area_ladder(book.program, book.ledger, area)
    return (head("Alarms on one scale"), found) if found else ()


def times_of_gas(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    """The time until averaged alarms; curves, since both scales multiply."""
    times = time_charts(book.ledger, gas)
    if not times:
        return ()
    return (head("Time until an averaged alarm"), assumes(fixed("charts.time-to-alarm")), *_with_numbers(times))


def displacement(book: HandbookContext, gas: Gas) -> tuple[Block, ...]:
    """What a fall of oxygen stands for, on the page of oxygen."""
    chart = displacement_chart(book.ledger) if gas.entry.id == OXYGEN_GAS else None
    if chart is None:
        return ()
    notice = assumes(fixed("charts.displacement"))
    return (head("Oxygen that another gas displaces"), notice, *_with_numbers((chart,)))


def _with_numbers(charts: Iterable[Chart]) -> list[Block]:
    made: list[Block] = []
    for chart in charts:
        made += [chart, *_numbers(chart)]
    return made


def _numbers(chart: Chart) -> tuple[Table, ...]:
    """The numbers of a chart's lines: a row for each along x, a column a line."""
    if chart.x is None:
        return ()
    found = {(x, index): y for index, line in enumerate(chart.lines) for x, y in line.points}
    across = list(dict.fromkeys(x for line in chart.lines for x, _ in line.points))
    rows: Iterator[Row] = (
        (Fig(x), *(_cell(found.get((x, index)), bare=bool(chart.y.unit)) for index in range(len(chart.lines))))
        for x in across
    )
    columns = (chart.x.label, *(_column(line.name, chart.y) for line in chart.lines))
    caption = f"{chart.title}: the numbers"
    return (table(columns, rows, caption=caption, numeric=tuple(range(len(columns))), kind="matrix"),)


def _cell(key: str | None, *, bare: bool) -> Inlines:
    return (Fig(key, bare=bare),) if key else inlines("–")


def _column(name: str, axis: Axis) -> str:
    return f"{name}, {printed_unit(axis.unit)}" if axis.unit else name
