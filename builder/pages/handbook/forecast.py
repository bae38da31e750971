"""What will have to be bought: a table by half-year, an order list, and what cannot be told."""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from builder.figures.figure import day_text
from builder.figures.forecast import Forecast, Need, forecast
from builder.figures.formulas.clock import next_due
from builder.pages.blocks import FILE, Block
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import Row, head, inlines, page, para, points, table, to
from builder.pages.tables import FORECAST_FILE, cost_text, money, thing_name
from builder.program.interval import Interval
from builder.program.keys.families import AS_OF

LISTED = 100
"""Lines of the order list on the page; the table for spreadsheets has them all."""
HALVES = 4


def forecast_page(book: HandbookContext) -> Page:
    """The page ``page:forecast``."""
    found = forecast(book.computed)
    blocks: tuple[Block, ...] = (
        head("By half-year"),
        _halves(book, found),
        head("Order list"),
        *_orders(book, found),
        head("What cannot be told"),
        *(points(inlines(text) for text in found.unknown) or (para("Nothing is missing."),)),
        para(fixed("forecast.assumes")),
        para("Back to ", to("page:program", "the program"), "."),
    )
    lead = fixed("forecast.lead", day=book.fig(AS_OF()), end=day_text(found.end))
    return page("page:forecast", "Forecast of replacements", "program", lead, blocks)


def _halves(book: HandbookContext, found: Forecast) -> Block:
    program, prices = book.program, book.program.prices
    edges = [next_due(found.start, Interval(count=6 * n, unit="month", text="")) for n in range(1, HALVES + 1)]
    first: dict[tuple[str, str], Need] = {}
    counts: Counter[tuple[str, str, int]] = Counter()
    for need in found.needs:
        key = (need.kind, need.thing)
        first.setdefault(key, need)
        counts[*key, sum(need.day > edge for edge in edges)] += 1
    rows: list[Row] = []
    total = Fraction(0)
    for key, need in first.items():
        numbers = [counts[*key, half] for half in range(HALVES)]
        given = prices.each.get(need.price_key)
        total += given.value * sum(numbers) if given else 0
        cells = (str(number) if number else "" for number in (*numbers, sum(numbers)))
        cost = cost_text(program, need, sum(numbers)) or "no price"
        rows.append((thing_name(program, need), *(cell for cell in cells), cost))
    if prices.each:
        rows.append(("All that has a price", *((),) * (HALVES + 1), money(total)))
    heads = (*(f"to {day_text(edge)}" for edge in edges), "In all", f"Cost, {prices.currency or 'no prices are given'}")
    return table(("What", *heads), rows, numeric=tuple(range(1, HALVES + 3)), empty="nothing comes to its end")


def _orders(book: HandbookContext, found: Forecast) -> Iterator[Block]:
    rows = (
        (
            day_text(need.order_by) if need.order_by else "",
            day_text(need.day),
            thing_name(book.program, need),
            book.link("unit", need.unit) if need.unit else book.link("cylinder", need.thing),
            need.why,
            cost_text(book.program, need),
        )
        for need in found.needs[:LISTED]
    )
    columns = ("Order by", "Needed by", "What", "For", "Why", "Cost")
    yield table(columns, rows, numeric=(0, 1, 5), empty="nothing comes to its end")
    more = len(found.needs) - LISTED
    if more > 0:
        yield para(f"{more} later lines stand in the table for spreadsheets alone.")
    if any(tabled.path == FORECAST_FILE for tabled in book.outputs.tables):
        yield para("All lines with cost columns: ", to(f"{FILE}{FORECAST_FILE}", "table for spreadsheets"), ".")
