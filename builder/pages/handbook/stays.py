"""Where a unit was, in what state and with whom, and what its records show of each day."""

from pathlib import PurePosixPath

from builder.figures.figure import day_text, moment_text
from builder.figures.logbook.fitness import Fitness, Shown, clock_text, fit_on
from builder.figures.logbook.states import Stay, is_moved
from builder.pages.blocks import Block, Inlines, Strong
from builder.pages.handbook.fixed_prose import fixed, fixed_paragraphs
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import STATES, word
from builder.pages.handbook.parts import code, head, inlines, para, table
from builder.pages.handbook.registers import many_units
from builder.program.inventory import Unit

DAYS, FEW_DAYS = 40, 5
"""Days shown of a unit; few on a site of many units. ``handbook fit`` tells of any other."""
DAY_COLUMNS = (
    "Day, first use", "Was", "Check with gas before", "Calibration", "Cylinder, last day", "Settings read", "Used by",
    "Shown",
)  # fmt: skip
COLUMNS = ("From", "Until", "State", "Area", "Holder", "Certificate", "Written in")


def unit_stays(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    """Every row of its movements, newest first; nothing where the inventory alone tells its state."""
    stays = book.computed.logbook.stays[unit.id]
    if not is_moved(stays):
        return ()
    rows = (_row(book, stay) for stay in reversed(stays))
    return (head("Where it was", "movements"), table(COLUMNS, rows), para(fixed("units.moved")))


def unit_days(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    """What is shown of each of the last days with a record, newest first; nothing for a unit without records."""
    log = book.computed.logbook.units.get(unit.id)
    if log is None:
        return ()
    days = sorted({record.day for record, _ in log.entries}, reverse=True)[: FEW_DAYS if many_units(book) else DAYS]
    rows = (_day_row(book, fit_on(book.computed, unit, day)) for day in days)
    return (head("Fit before first use", "fit"), table(DAY_COLUMNS, rows), *fixed_paragraphs("units.fit"))


def _day_row(book: HandbookContext, found: Fitness) -> tuple[Inlines, ...]:
    use, test, through = found.first_use, found.tested, found.good_through
    said = inlines(found.shown.value)
    told = "; ".join((*found.against, *(f"not known: {text}" for text in found.unknown)))
    return (
        inlines(f"{day_text(found.day)}{f', {use.time.value:%H:%M}' if use else ''}"),
        inlines("; ".join(_was(book, stay) for stay in found.stays)),
        inlines(clock_text(test) if test else "none"),
        inlines(
            f"{day_text(found.calibrated)}, good through {day_text(through)}"
            if found.calibrated and through
            else "none"
        ),
        inlines(
            f"{found.bottle}, {day_text(found.bottle_until)}" if found.bottle and found.bottle_until else found.bottle
        ),
        inlines(day_text(found.settings_read) if found.settings_read else "never"),
        inlines(book.person(found.person) if found.person else "not known" if use else ""),
        (said if found.shown is Shown.FIT else (Strong(said), *inlines(f": {told}"))),
    )


def _was(book: HandbookContext, stay: Stay) -> str:
    area = book.names[f"area:{stay.area}"] if stay.area else ""
    return ", ".join(part for part in (word(STATES, stay.state), area, book.holder(stay.holder)) if part)


def _row(book: HandbookContext, stay: Stay) -> tuple[Inlines, ...]:
    until = stay.certificate_until
    return (
        inlines(moment_text(stay.start)),
        inlines(moment_text(stay.end) or "now"),
        inlines(word(STATES, stay.state)),
        (book.link("area", stay.area),) if stay.area else (),
        inlines(book.holder(stay.holder)),
        inlines(stay.certificate + (f", until {day_text(until.value)}" if until else "")),
        code(f"{PurePosixPath(stay.where.file).name}:{stay.where.line}"),
    )
