"""Calibration gas: the index, and one page a cylinder with the windows it gives."""

from collections.abc import Iterator
from datetime import date

from builder.pages.blocks import Block, Inlines
from builder.pages.compositions import Page
from builder.pages.handbook.corrections import regulators_of, strength_of, window_table
from builder.pages.handbook.detectors import unit_table
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.mixtures import span_values
from builder.pages.handbook.parts import Row, assumes, facts, head, inlines, listed, page, para, subhead, table, to
from builder.program.cylinders import Component, Cylinder
from builder.program.keys import families as keyed


def first_out(book: HandbookContext) -> Block:
    """Every cylinder, the one that ends first on top."""
    found = sorted((_end(book, bottle.id), bottle.id) for bottle in book.program.bottles)
    rows = (
        (
            book.link("cylinder", name),
            listed(book.links("gas", (part.gas.value for part in book.program.cylinders[name].components))),
            book.maybe(keyed.CYLINDER_USABLE_UNTIL(cylinder=name)) or book.fig(keyed.CYLINDER_EXPIRES(cylinder=name)),
            book.maybe(keyed.CYLINDER_RUNS_OUT(cylinder=name)) or "not known from records",
            book.maybe(keyed.CYLINDER_REORDER_BY(cylinder=name)) or "no lead time is given",
        )
        for _, name in found
    )
    columns = ("Cylinder", "Holds", "Usable until the end of", "Gas is enough until", "Order the next by")
    return table(columns, rows, caption="Which ends first", numeric=(2, 3, 4))


def _end(book: HandbookContext, cylinder: str) -> date:
    """The last day it can be used; one without any day comes first."""
    for key in (keyed.CYLINDER_USABLE_UNTIL(cylinder=cylinder), keyed.CYLINDER_EXPIRES(cylinder=cylinder)):
        if key in book.ledger:
            return book.ledger.day(key)
    return date.min


def stations_of(book: HandbookContext) -> tuple[Block, ...]:
    """Each station with what is on its inlets; nothing where the site has none."""
    if not book.program.stations:
        return ()
    made: list[Block] = [head("Test stations"), para(fixed("cylinders.stations"))]
    for station in book.program.stations.values():
        rows = (
            (
                str(inlet.number.value),
                book.link("cylinder", inlet.cylinder.value) if inlet.cylinder else "clean air of the room",
                inlet.set_to.value if inlet.set_to else "",
            )
            for inlet in station.inlets
        )
        made += [
            subhead(inlines(station.name.value)),
            facts(
                ("Kept at", station.location.value),
                ("For", listed(book.links("model", station.models))),
                ("Software", station.software.value),
                ("Last leak test", book.maybe(keyed.STATION_LEAK_TESTED(station=station.id))),
                ("holds until", book.maybe(keyed.STATION_LEAK_DUE(station=station.id))),
                ("Its own log", station.log.value),
                ("reaches to", book.maybe(keyed.STATION_LOG_UNTIL(station=station.id)) or "no row of it is here"),
            ),
            table(("Inlet", "What is joined to it", "Lot that it was told"), rows, caption="Inlets"),
        ]
    made.append(para("Rows of their own logs: ", to("page:station-log", "logs of test stations"), "."))
    return tuple(made)


NOT_SAID = "not entered"


def cylinder_pages(book: HandbookContext) -> Iterator[Page]:
    """The index and a page a cylinder."""
    rows = (
        (
            book.link("cylinder", cylinder.id),
            listed(book.links("gas", (part.gas.value for part in cylinder.components))),
            book.fig(keyed.CYLINDER_EXPIRES(cylinder=cylinder.id)),
            book.fig(keyed.CYLINDER_TESTS_LEFT(cylinder=cylinder.id), absent="no check with gas time"),
            listed(book.links("check", cylinder.checks)),
        )
        for cylinder in book.program.cylinders.values()
    )
    blocks: tuple[Block, ...] = (
        table(("Cylinder", "Holds", "Last day of use", "Checks left", "For"), rows, numeric=(2, 3)),
        first_out(book),
        *stations_of(book),
    )
    yield index_page("calibration-gas", fixed("cylinders.lead"), blocks)
    for cylinder in book.program.cylinders.values():
        yield _cylinder_page(book, cylinder)


def _cylinder_page(book: HandbookContext, cylinder: Cylinder) -> Page:
    checks = tuple(given.value for given in cylinder.checks)
    units = tuple(unit for unit in book.program.units.values() if unit.checked_with(cylinder.id))
    return page(
        f"cylinder:{cylinder.id}",
        f"Cylinder {cylinder.id}",
        "calibration-gas",
        fixed("cylinders.one"),
        (
            *book.found(f"cylinder:{cylinder.id}"),
            _facts(book, cylinder),
            head("Certified contents"),
            _components(book, cylinder),
            *span_values(book, cylinder.id),
            head("What must be displayed"),
            window_table(book, (cylinder.id,), checks, "Acceptance windows"),
            assumes(fixed("cylinders.whole-gas-time")),
            *strength_of(book, cylinder),
            head("Units checked with it"),
            unit_table(book, units),
        ),
    )


def _facts(book: HandbookContext, cylinder: Cylinder) -> Block:
    return facts(
        ("Lot", cylinder.lot.value),
        ("Certificate", cylinder.certificate.value),
        ("Certified by", cylinder.certified_by.value if cylinder.certified_by else NOT_SAID),
        ("Day of the certificate", book.fig(keyed.CYLINDER_CERTIFIED_ON(cylinder=cylinder.id), absent=NOT_SAID)),
        ("Traceable to", cylinder.traceable_to.value if cylinder.traceable_to else NOT_SAID),
        ("Last day of use", book.fig(keyed.CYLINDER_EXPIRES(cylinder=cylinder.id))),
        ("Gone on", book.maybe(keyed.CYLINDER_GONE(cylinder=cylinder.id))),
        ("Pressure when last read", book.maybe(keyed.CYLINDER_PRESSURE(cylinder=cylinder.id))),
        ("Pressure read on", book.maybe(keyed.CYLINDER_MEASURED(cylinder=cylinder.id))),
        ("Stop using it at", book.maybe(keyed.CYLINDER_STOP_AT(cylinder=cylinder.id))),
        ("Water volume", book.maybe(keyed.CYLINDER_VOLUME(cylinder=cylinder.id))),
        ("Regulator", regulators_of(cylinder)),
        ("Flow", book.maybe(keyed.CYLINDER_FLOW(cylinder=cylinder.id))),
        ("Gas left when it was read", book.maybe(keyed.CYLINDER_GAS_LEFT(cylinder=cylinder.id))),
        ("Gas used since", book.maybe(keyed.CYLINDER_GAS_USED(cylinder=cylinder.id))),
        ("Gas left now", book.maybe(keyed.CYLINDER_GAS_NOW(cylinder=cylinder.id))),
        ("Checks left", book.maybe(keyed.CYLINDER_TESTS_LEFT(cylinder=cylinder.id))),
        ("Balance gas", cylinder.balance.value),
        ("Serves", listed(book.links("check", cylinder.checks))),
        ("Kept at", cylinder.location or None),
        ("Pocket cards that name it", _cards(book, cylinder)),
    )


def _cards(book: HandbookContext, cylinder: Cylinder) -> Inlines | None:
    found = [
        card.id
        for card in book.program.cards.values()
        if any(block.cylinder and block.cylinder.value == cylinder.id for block in card.blocks)
    ]
    return listed(book.links("card", found)) if found else None


def _components(book: HandbookContext, cylinder: Cylinder) -> Block:
    rows = (_component(book, cylinder, part) for part in cylinder.components)
    return table(("Gas", "Certified", "Uncertainty", "On the site's LEL basis", "Label"), rows, numeric=(1, 2, 3))


def _component(book: HandbookContext, cylinder: Cylinder, part: Component) -> Row:
    key = keyed.CYLINDER_GAS(cylinder=cylinder.id, gas=part.gas.value)
    label = inlines("not in %LEL")
    if part.label_basis:
        label = inlines(
            *book.fig(keyed.CYLINDER_GAS_LABEL(cylinder=cylinder.id, gas=part.gas.value)),
            f" on {book.program.library.source(part.label_basis.value).id}",
        )
    share = book.maybe(keyed.CYLINDER_GAS_LEL(cylinder=cylinder.id, gas=part.gas.value)) or inlines("does not apply")
    return (
        book.link("gas", part.gas.value),
        book.fig(key),
        book.fig(keyed.CYLINDER_GAS_UNCERTAINTY(cylinder=cylinder.id, gas=part.gas.value)),
        share,
        label,
    )
