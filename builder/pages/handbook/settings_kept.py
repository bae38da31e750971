"""Settings beside the alarms: what is wanted, who may change them, how the way in is kept, and what was changed."""

from collections.abc import Iterator

from builder.figures.figure import day_text
from builder.pages.blocks import Block, Inlines
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import facts, head, inlines, listed, para, table
from builder.program.keys.families import AS_OF, SETTINGS_CODE_CHANGED, SETTINGS_CODE_DUE
from builder.program.records import Record

CHANGE = "setting-change"
LATEST = 40
"""Changes that are listed; the page of each unit has its own."""


def settings_kept(book: HandbookContext) -> Iterator[Block]:
    """All of it, in the order in which an auditor asks."""
    yield head("Who may change settings", "who-may-change")
    access = book.program.settings_access
    yield para(fixed("setpoints.access") if access else fixed("setpoints.no-access"))
    yield facts(
        ("May change them", _who(book)),
        ("The code is with", inlines(access.kept_by.value) if access else None),
        ("How it is kept", inlines(access.how.value) if access else None),
        ("It was changed on", book.maybe(SETTINGS_CODE_CHANGED())),
        ("and stays until", book.maybe(SETTINGS_CODE_DUE())),
    )
    if book.program.wanted_settings:
        yield table(("Models", "Setting", "To be"), _wanted(book), caption="Settings beside the alarms")
    rows = [record for record in book.program.records if record.kind.value == CHANGE]
    if rows:
        latest = sorted(rows, key=lambda record: record.day, reverse=True)[:LATEST]
        heads = ("Day", "Unit", "Setting", "Since then", "Order", "By")
        yield table(heads, (_changed(book, record) for record in latest), caption="Changes on record, newest first")


def _who(book: HandbookContext) -> Inlines:
    people, today = book.program.people, book.ledger.day(AS_OF())
    if people is None:
        return inlines("no register of people is kept here")
    may = [
        inlines(book.person(person))
        for person in people.values()
        if any(kind.value == CHANGE for kind in person.kinds) and person.start.value <= today <= person.until.value
    ]
    return listed(may) if may else inlines("nobody today")


def _wanted(book: HandbookContext) -> Iterator[tuple[Inlines, ...]]:
    for entry in book.program.wanted_settings:
        models = listed(book.links("model", (given.value for given in entry.models))) if entry.models else None
        for name, value in entry.values.items():
            told = f"right to {value.text}" if name == "clock" else value.text
            yield models or inlines("all others"), inlines(name.replace("-", " ")), inlines(told)


def _changed(book: HandbookContext, record: Record) -> tuple[Inlines, ...]:
    sensor = f" of {book.names[f'sensor:{record.sensor.value}']}" if record.sensor else ""
    unit = record.unit.value
    who = book.program.people.get(record.by.value) if record.by and book.program.people else None
    return (
        inlines(day_text(record.day)),
        (book.link("unit", unit),) if unit in book.program.units else inlines(unit),
        inlines(f"{record.setting.value.replace('-', ' ') if record.setting else ''}{sensor}"),
        inlines(record.value.value if record.value else ""),
        inlines(record.order.value if record.order else "no order is named"),
        inlines(book.person(who) if who else "nobody listed" if record.by is None else record.by.value),
    )
