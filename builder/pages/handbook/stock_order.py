"""Which cylinder comes to its end first, by date or by gas."""

from datetime import date

from builder.pages.blocks import Block
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import inlines, listed, table
from builder.program.keys import families as keyed


def first_out(book: HandbookContext) -> Block:
    """Every cylinder, the one that ends first on top."""
    found = sorted((_end(book, bottle.id), bottle.id) for bottle in book.program.bottles)
    rows = (
        (
            (book.link("cylinder", name),),
            listed(book.links("gas", (part.gas.value for part in book.program.cylinders[name].components))),
            book.maybe(keyed.CYLINDER_USABLE_UNTIL(cylinder=name)) or book.fig(keyed.CYLINDER_EXPIRES(cylinder=name)),
            book.maybe(keyed.CYLINDER_RUNS_OUT(cylinder=name)) or inlines("not known from records"),
            book.maybe(keyed.CYLINDER_REORDER_BY(cylinder=name)) or inlines("no lead time is given"),
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
