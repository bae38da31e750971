"""One page a unit: what it is, where, when it was checked, and the setpoints it must carry."""

from collections.abc import Iterator
from pathlib import PurePosixPath

from builder.figures.due_checks import is_asked_of
from builder.figures.figure import day_text, moment_text
from builder.figures.logbook.fitness import clock_text, fit_on
from builder.figures.logbook.fitness_found import Fitness, Shown
from builder.figures.logbook.states import Stay, is_moved
from builder.figures.settings_read import strictest_setpoint
from builder.pages.blocks import Absent, Block, Fig, Inlines, Strong
from builder.pages.compositions import Page
from builder.pages.handbook.asked_intervals import in_force
from builder.pages.handbook.fixed_prose import fixed, fixed_paragraphs
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.history import unit_history
from builder.pages.handbook.labels import STATES, word
from builder.pages.handbook.parts import Row, code, facts, head, inlines, listed, page, para, table, to
from builder.pages.handbook.registers import many_units
from builder.program.inventory import Unit
from builder.program.keys.families import UNIT_CERTIFICATE_UNTIL, UNIT_DUE, UNIT_LAST
from builder.program.setpoints import ALARMS
from builder.program.test_order import in_test_order

DAYS, FEW_DAYS = 40, 5
"""Days shown of a unit; few on a site of many units. ``handbook fit`` tells of any other."""
DAY_COLUMNS = (
    "Day, first use", "Shown", "Was", "Check with gas before", "Calibration", "Cylinder, last day", "Settings read",
    "Used by",
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


def _day_row(book: HandbookContext, found: Fitness) -> Row:
    use, test, through = found.first_use, found.tested, found.good_through
    said = inlines(found.shown.value)
    told = "; ".join((*found.against, *(f"not known: {text}" for text in found.unknown)))
    return (
        f"{day_text(found.day)}{f', {use.time.value:%H:%M}' if use else ''}",
        (said if found.shown is Shown.FIT else (Strong(said), *inlines(f": {told}"))),
        "; ".join(_was(book, stay) for stay in found.stays),
        clock_text(test) if test else "none",
        f"{day_text(found.calibrated)}, good through {day_text(through)}" if found.calibrated and through else "none",
        f"{found.bottle}, {day_text(found.bottle_until)}" if found.bottle and found.bottle_until else found.bottle,
        day_text(found.settings_read) if found.settings_read else "never",
        book.person(found.person) if found.person else "not known" if use else "",
    )


def _was(book: HandbookContext, stay: Stay) -> str:
    area = book.names[f"area:{stay.area}"] if stay.area else ""
    return ", ".join(part for part in (word(STATES, stay.state), area, book.holder(stay.holder)) if part)


def _row(book: HandbookContext, stay: Stay) -> Row:
    until = stay.certificate_until
    return (
        moment_text(stay.start),
        moment_text(stay.end) or "now",
        word(STATES, stay.state),
        book.link("area", stay.area) if stay.area else (),
        book.holder(stay.holder),
        stay.certificate + (f", until {day_text(until.value)}" if until else ""),
        code(f"{PurePosixPath(stay.where.file).name}:{stay.where.line}"),
    )


CHECK_COLUMNS = ("Check", "Good through", "Last good one", "Every", "Also asked", "Readings recommend")
NOT_ASKED = "not asked"
"""Of a check that the model or the place of a unit does not call for."""


def unit_pages(book: HandbookContext) -> Iterator[Page]:
    """A page a unit; none of them is printed in the book."""
    for unit in book.program.units.values():
        blocks: tuple[Block, ...] = (
            *book.found(f"unit:{unit.id}"),
            _facts(book, unit),
            *_fitted(unit, book),
            *_checks(book, unit),
            *_setpoints(book, unit),
            *unit_stays(book, unit),
            *unit_days(book, unit),
            *unit_history(book, unit),
        )
        lead = inlines(
            book.names[f"model:{unit.model.value}"], f", serial {unit.serial.value}: {word(STATES, unit.state.value)}."
        )
        yield page(f"unit:{unit.id}", f"Unit {unit.id}", "detectors", lead, blocks)


def _facts(book: HandbookContext, unit: Unit) -> Block:
    also = listed(book.links("area", unit.also_in)) if unit.also_in else None
    return facts(
        ("Model", book.link("model", unit.model.value)),
        ("Serial", unit.serial.value),
        ("State", word(STATES, unit.state.value)),
        ("Place", book.place(unit)),
        ("Goes on the same day to", also),
        ("Its owner's certificate holds until", book.maybe(UNIT_CERTIFICATE_UNTIL(unit=unit.id))),
        ("Holder", book.holder(unit.holder.value) if unit.holder else None),
        ("Checked with cylinder", listed(book.links("cylinder", unit.cylinders)) if unit.cylinders else None),
        ("Code on its label", code(book.outputs.label_codes[unit.id]) if unit.id in book.outputs.label_codes else None),
        ("Note", unit.note or None),
    )


def _fitted(unit: Unit, book: HandbookContext) -> tuple[Block, ...]:
    """The sensors that the inventory names; nothing where it names none."""
    rows = [
        (
            book.link("sensor", part.sensor.value),
            part.serial.value if part.serial else "not known",
            day_text(part.fitted.value) if part.fitted else "not known",
        )
        for part in unit.sensors
    ]
    return (head("Fitted sensors"), table(("Sensor", "Serial", "Fitted on"), rows)) if rows else ()


def _checks(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    if not unit.checked:
        return (head("Checks"), para(fixed("units.not-checked")))
    checks = (check for check in book.program.checks.values() if is_asked_of(book.program, unit, check))
    cells = (
        (book.link("check", check.id), *last_and_due(book, unit, check.id)[::-1], *in_force(book, unit, check))
        for check in checks
    )
    return (
        head("Checks"),
        table(CHECK_COLUMNS, cells, numeric=(1, 2), empty="no check is asked of it"),
        para("What each check is and what passes: ", to("page:checks", "checks"), "."),
    )


def last_and_due(book: HandbookContext, unit: Unit, check: str) -> tuple[Inlines, Inlines]:
    """The day of the last good check of a kind, and the last day it still holds; plain words where it is not asked."""
    if not is_asked_of(book.program, unit, book.program.checks[check]):
        return book.maybe(UNIT_LAST(unit=unit.id, check=check)) or inlines(NOT_ASKED), inlines(NOT_ASKED)
    none: Inlines = (Absent("no good check counts"),)
    due = book.ledger.resolve(UNIT_DUE(unit=unit.id, check=check))
    strictest = book.program.checks[check].strictest_of(unit)
    dated = strictest is not None and not strictest.interval.value.each_day_of_use
    return book.maybe(UNIT_LAST(unit=unit.id, check=check)) or none, (Fig(due, due=dated),) if due else inlines(
        "due before use"
    )


def _setpoints(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    if unit.area is None:
        return (
            head("Setpoints it must carry"),
            para(fixed("units.pool", setpoints=to("page:setpoints", "alarm setpoints"))),
        )
    model = book.program.models[unit.model.value]
    areas, rows = book.program.areas_of_unit(unit), list[Row]()
    for channel in in_test_order(sensor.channel.value for _, sensor in book.program.fitted(model)):
        for alarm in ALARMS:
            found = strictest_setpoint(book.ledger, areas, channel, alarm)
            if found is not None:
                rows.append((book.channel(channel), book.alarm_name(channel, alarm), book.fig(found.key)))
    return (
        head("Setpoints it must carry"),
        table(("Channel", "Alarm", "Set to"), rows, numeric=(2,), empty="its area has no setpoint for its channels"),
        para("Why these values: ", to("page:setpoints", "alarm setpoints"), "."),
    )
