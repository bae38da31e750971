"""Test stations on the page of calibration gas."""

from builder.pages.blocks import Block
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import facts, head, inlines, listed, para, subhead, table, to
from builder.program.keys.families import STATION_LEAK_DUE, STATION_LEAK_TESTED, STATION_LOG_UNTIL


def stations_of(book: HandbookContext) -> tuple[Block, ...]:
    """Each station with what is on its inlets; nothing where the site has none."""
    if not book.program.stations:
        return ()
    made: list[Block] = [head("Test stations"), para(fixed("cylinders.stations"))]
    for station in book.program.stations.values():
        rows = (
            (
                inlines(str(inlet.number.value)),
                (book.link("cylinder", inlet.cylinder.value),) if inlet.cylinder else inlines("clean air of the room"),
                inlines(inlet.set_to.value if inlet.set_to else ""),
            )
            for inlet in station.inlets
        )
        made += [
            subhead(inlines(station.name.value)),
            facts(
                ("Kept at", inlines(station.location.value)),
                ("For", listed(book.links("model", (given.value for given in station.models)))),
                ("Software", inlines(station.software.value)),
                ("Last leak test", book.maybe(STATION_LEAK_TESTED(station=station.id))),
                ("holds until", book.maybe(STATION_LEAK_DUE(station=station.id))),
                ("Its own log", inlines(station.log.value)),
                ("reaches to", book.maybe(STATION_LOG_UNTIL(station=station.id)) or inlines("no row of it is here")),
            ),
            table(("Inlet", "What is joined to it", "Lot that it was told"), rows, caption="Inlets"),
        ]
    made.append(para("Rows of their own logs: ", to("page:station-log", "logs of test stations"), "."))
    return tuple(made)
