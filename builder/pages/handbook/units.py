"""One page a unit: what it is, where, when it was checked, and the setpoints it must carry."""

from collections.abc import Iterator

from builder.figures.due_checks import is_asked_of
from builder.figures.figure import day_text
from builder.figures.strictest_setpoint import strictest_setpoint
from builder.pages.blocks import Absent, Block, Fig, Inlines, Page
from builder.pages.handbook.asked_intervals import in_force
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.history import unit_history
from builder.pages.handbook.labels import STATES, word
from builder.pages.handbook.parts import code, facts, head, inlines, listed, page, para, table, to
from builder.pages.handbook.sections import path_of
from builder.pages.handbook.stays import unit_days, unit_stays
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.keys.families import UNIT_CERTIFICATE_UNTIL, UNIT_DUE, UNIT_LAST
from builder.program.setpoints import ALARMS
from builder.program.test_order import in_test_order

CHECK_COLUMNS = ("Check", "Every", "Also asked", "Readings recommend", "Last good one", "Good through")
NOT_ASKED = "not asked"
"""Of a check that the model or the place of a unit does not call for."""


def unit_pages(book: HandbookContext) -> Iterator[Page]:
    """A page a unit; none of them is printed in the book."""
    for unit in book.program.units.values():
        yield page(
            id=f"unit:{unit.id}",
            path=path_of(f"unit:{unit.id}"),
            title=f"Unit {unit.id}",
            section="detectors",
            lead=inlines(
                book.names[f"model:{unit.model.value}"],
                f", serial {unit.serial.value}: {word(STATES, unit.state.value)}.",
            ),
            blocks=(
                *book.found(f"unit:{unit.id}"),
                _facts(book, unit),
                *_fitted(unit, book),
                *_checks(book, unit),
                *_setpoints(book, unit),
                *unit_stays(book, unit),
                *unit_days(book, unit),
                *unit_history(book, unit),
            ),
        )


def _facts(book: HandbookContext, unit: Unit) -> Block:
    also = listed(book.links("area", (given.value for given in unit.also_in))) if unit.also_in else None
    return facts(
        ("Model", (book.link("model", unit.model.value),)),
        ("Serial", inlines(unit.serial.value)),
        ("State", inlines(word(STATES, unit.state.value))),
        ("Place", book.place(unit)),
        ("Goes on the same day to", also),
        ("Its owner's certificate holds until", book.maybe(UNIT_CERTIFICATE_UNTIL(unit=unit.id))),
        ("Holder", inlines(book.holder(unit.holder.value)) if unit.holder else None),
        ("Checked with cylinder", _cylinders(book, unit)),
        ("Code on its label", code(book.outputs.label_codes[unit.id]) if unit.id in book.outputs.label_codes else None),
        ("Note", inlines(unit.note) if unit.note else None),
    )


def _cylinders(book: HandbookContext, unit: Unit) -> Inlines | None:
    return listed(book.links("cylinder", (given.value for given in unit.cylinders))) if unit.cylinders else None


def _fitted(unit: Unit, book: HandbookContext) -> tuple[Block, ...]:
    """The sensors that the inventory names; nothing where it names none."""
    rows = [
        (
            (book.link("sensor", part.sensor.value),),
            inlines(part.serial.value if part.serial else "not known"),
            inlines(day_text(part.fitted.value) if part.fitted else "not known"),
        )
        for part in unit.sensors
    ]
    return (head("Fitted sensors"), table(("Sensor", "Serial", "Fitted on"), rows)) if rows else ()


def _checks(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    if unit.state.value not in CHECKED_STATES:
        return (head("Checks"), para(fixed("units.not-checked")))
    checks = (check for check in book.program.checks.values() if is_asked_of(book.program, unit, check))
    cells = (
        ((book.link("check", check.id),), *in_force(book, unit, check), *last_and_due(book, unit, check.id))
        for check in checks
    )
    return (
        head("Checks"),
        table(CHECK_COLUMNS, cells, numeric=(4, 5), empty="no check is asked of it"),
        para("What each check is and what passes: ", to("page:checks", "checks"), "."),
    )


def last_and_due(book: HandbookContext, unit: Unit, check: str) -> tuple[Inlines, Inlines]:
    """The day of the last good check of a kind, and the last day it still holds; plain words where it is not asked."""
    if not is_asked_of(book.program, unit, book.program.checks[check]):
        return book.maybe(UNIT_LAST(unit=unit.id, check=check)) or inlines(NOT_ASKED), inlines(NOT_ASKED)
    none: Inlines = (Absent("no good check is recorded"),)
    due = book.ledger.resolve(UNIT_DUE(unit=unit.id, check=check))
    strictest = book.program.checks[check].strictest_in(unit.place, unit.model.value)
    dated = strictest is not None and not strictest.interval.value.each_day_of_use
    return book.maybe(UNIT_LAST(unit=unit.id, check=check)) or none, (Fig(due, due=dated),) if due else inlines(
        "due before use"
    )


def _setpoints(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    if unit.area is None:
        return (
            head("Setpoints it must carry"),
            para(fixed("units.pool", setpoints=to("page:setpoints", "alarm setpoints"))),
        )  # fmt: skip
    model = book.program.models[unit.model.value]
    areas, rows = book.program.areas_of_unit(unit), list[tuple[Inlines, ...]]()
    for channel in in_test_order(sensor.channel.value for _, sensor in book.program.fitted(model)):
        for alarm in ALARMS:
            found = strictest_setpoint(book.ledger, areas, channel, alarm)
            if found is not None:
                rows.append((book.channel(channel), inlines(book.alarm_name(channel, alarm)), book.fig(found.key)))
    return (
        head("Setpoints it must carry"),
        table(("Channel", "Alarm", "Set to"), rows, numeric=(2,), empty="its area has no setpoint for its channels"),
        para("Why these values: ", to("page:setpoints", "alarm setpoints"), "."),
    )
