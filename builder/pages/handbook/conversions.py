"""Charts: volume to mass, the explosive limit in every unit, and corrected readings of every area."""

from collections.abc import Iterator

from builder.figures.roundings import chart
from builder.figures.scales import ppm_of_one
from builder.figures.topics.examples import HOURS, PARTS
from builder.pages.blocks import Block
from builder.pages.compositions import Page
from builder.pages.handbook.corrections import reading_corrections
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.parts import Row, assumes, head, inlines, para, subhead, table
from builder.pages.reader_tools import Converter, ToolScale
from builder.program.keys import families as keyed
from builder.program.keys.family import Family


def conversion_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of charts."""
    blocks: tuple[Block, ...] = (
        *converter(book),
        *_mass(book),
        *_explosive(book),
        *_readings(book),
        *_averages(book),
        *_looked_up(book, "By mass, at round numbers", keyed.CHART_MASS),
        *_looked_up(book, "Shares of the lower explosive limit by volume", keyed.CHART_VOLUME),
    )
    yield index_page("conversions", fixed("conversions.lead"), blocks)


def _looked_up(book: HandbookContext, title: str, family: Family) -> tuple[Block, ...]:
    """A row a gas, a column a round number; the numbers themselves stand in the first row."""
    figures = [(parts, figure) for figure in book.ledger.under(family.start()) if (parts := family.read(figure.key))]
    points = {
        (parts["n"], parts["scale"]): keyed.CHART_POINT(n=parts["n"], scale=parts["scale"]) for parts, _ in figures
    }
    order = sorted(points, key=lambda point: book.ledger[points[point]].rounded)
    gases = dict.fromkeys(parts["gas"] for parts, _ in figures)
    rows: list[Row] = [("At", *(book.fig(points[point]) for point in order))]
    rows += (
        (book.link("gas", gas), *(book.fig(family(gas=gas, n=n, scale=scale)) for n, scale in order))
        for gas in book.program.gases
        if gas in gases
    )
    columns = ("Gas", *("" for _ in order))
    return (head(title), table(columns, rows, numeric=tuple(range(1, len(columns))))) if figures else ()


def _averages(book: HandbookContext) -> tuple[Block, ...]:
    """Averages and mixtures by the worked cases of the rule."""
    average = "; ".join(f"{ppm} ppm for {hours} h" for ppm, hours in HOURS)
    mixture = "; ".join(f"{ppm} ppm, limit {limit} ppm" for ppm, limit in PARTS)
    rows = (
        (inlines("Average: ", average), book.fig(keyed.EXAMPLE_TWA())),
        (inlines("Mixture: ", mixture), book.fig(keyed.EXAMPLE_MIXTURE())),
    )
    return (
        head("Averages, worked through"),
        table(("Case of the rule", "Comes to"), rows, numeric=(1,)),
        para(fixed("conversions.averages")),
    )


def _mass(book: HandbookContext) -> tuple[Block, ...]:
    rows = (
        (
            book.link("gas", gas.id),
            book.fig(keyed.GAS_MOLAR_MASS(gas=gas.id)),
            book.fig(keyed.GAS_MASS_PER_PPM(gas=gas.id)),
        )
        for gas in book.program.gases.values()
    )
    temperature, pressure = book.fig(keyed.REFERENCE_TEMPERATURE()), book.fig(keyed.REFERENCE_PRESSURE())
    return (
        head("From volume to mass"),
        table(("Gas", "Molar mass", "Mass of one part per million"), rows, numeric=(1, 2)),
        assumes(fixed("conversions.mass", temperature=temperature, pressure=pressure)),
    )


def _explosive(book: HandbookContext) -> tuple[Block, ...]:
    rows: Iterator[Row] = (
        (
            book.link("gas", gas.id),
            book.fig(keyed.GAS_LEL(gas=gas.id)),
            *(book.fig(family(gas=gas.id, bound="lel")) for family in (keyed.GAS_BOUND_PPM, keyed.GAS_BOUND_MASS)),
        )
        for gas in book.program.gases.values()
        if keyed.GAS_LEL(gas=gas.id) in book.ledger
    )
    basis = book.program.library.source(book.program.site.basis.lel.value).cited()
    temperature, pressure = book.fig(keyed.SITE_TEMPERATURE()), book.fig(keyed.SITE_PRESSURE())
    return (
        head("The lower explosive limit in other units"),
        table(("Gas", "By volume", "In parts per million", "By mass"), rows, numeric=(1, 2, 3), empty="no gas has one"),
        assumes(
            fixed("conversions.explosive", basis=basis),
            fixed("conversions.by-mass", pressure=pressure, temperature=temperature),
        ),
    )


def _readings(book: HandbookContext) -> tuple[Block, ...]:
    made: list[Block] = [head("What a flammable reading means"), assumes(fixed("conversions.readings"))]
    for area in book.program.areas.values():
        chart = reading_corrections(book, area)
        if chart is not None:
            made += [subhead(book.link("area", area.id)), chart]
    if len(made) == 2:  # noqa: PLR2004 - heading and notice alone
        made.append(para("No area has a hazard whose flammable reading can be corrected."))
    return tuple(made)


def converter(book: HandbookContext) -> tuple[Block, ...]:
    """The form that converts between units, for every gas of the site."""
    scales = tuple(
        ToolScale(gas=gas.name, ppm_of_one=tuple(ppm_of_one(book.ledger, gas.id).items()))
        for gas in book.program.gases.values()
        if keyed.GAS_MOLAR_MASS(gas=gas.id) in book.ledger
    )
    return (Converter(scales=scales, rounding=chart()),) if scales else ()
