"""What the program keeps, a small page each: how long records, people, copies of cards, settings, sensors fitted."""

from collections.abc import Iterable, Iterator

from builder.figures.figure import day_text, moment_text
from builder.pages.blocks import Block, Inlines, Strong
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import ROLES, STATES, word
from builder.pages.handbook.parts import Row, head, inlines, page, para, table, to
from builder.pages.handbook.registers import many_units
from builder.program.configuration_readback import SETTINGS
from builder.program.inventory import Unit
from builder.program.keys.families import (
    AS_OF,
    RETENTION_KEEP,
    RETENTION_MINIMUM,
    SITE_SETTINGS_READ,
    SITE_SETTINGS_READ_EVERY,
)
from builder.program.records import Person
from builder.program.retention import Retention
from builder.program.station_log import LEAK_TEST, TEST, StationRow
from builder.program.stations import Station
from builder.reference.retention import Minimum, minimums

LATEST = 400
"""Rows of one register; a longer one is read in the content."""
NOTHING_SAID = "the site has not said how long it keeps its records: retention.yaml"


def kept_list_pages(book: HandbookContext) -> Iterator[Page]:
    """How long records are kept, and every register, also one that the site does not keep: its page says so."""
    yield _retention(book)
    yield _page(book, "registers.people", "People and authorisations", _people(book))
    yield _page(book, "registers.copies", "Copies of cards", _copies(book))
    yield _page(book, "registers.read-back", "Settings read back", _read_back(book))
    yield _page(book, "registers.station-log", "Logs of test stations", _station_log(book))
    yield _page(book, "registers.fitted", "Fitted sensors and holders", _fitted(book))


def _page(book: HandbookContext, lead: str, title: str, blocks: Iterable[Block]) -> Page:
    name = f"page:{lead.partition('.')[2]}"
    about: tuple[Block, ...] = (
        *blocks,
        para("As it stood on ", *book.fig(AS_OF()), ". Back to ", to("page:program", "the program"), "."),
    )
    return page(name, title, "program", fixed(lead), about)


# ---- how long ------------------------------------------------------------------------


def _retention(book: HandbookContext) -> Page:
    """What the site keeps for how long, and the published minimums to hold it against."""
    own = (_own(book, entry) for entry in book.program.retention)
    published = (
        (
            minimum.what,
            _least(book, minimum),
            f"{minimum.citation} ({minimum.force}, {minimum.place})",
            "yes" if minimum.read else "no: from memory or another account",
        )
        for minimum in minimums()
    )
    blocks: list[Block] = [
        head("What this site keeps"),
        table(("Record", "Kept", "By which rule", "Source"), own, empty=NOTHING_SAID),
        para(fixed("retention.nothing-deleted")),
        head("Published minimums"),
        table(("Record", "At least", "Rule", "Read in its source"), published),
        para(fixed("retention.other-rules")),
        para("Who answers for records: ", to("page:program", "the program"), "."),
    ]
    lead = inlines("Records, permits and revisions: how long, and by which rule.")
    return page("page:retention", "How long records are kept", "program", lead, blocks)


def _least(book: HandbookContext, minimum: Minimum) -> Inlines:
    before, _, after = minimum.keep.partition("{}")
    years = book.fig(RETENTION_MINIMUM(entry=minimum.id)) if minimum.years else ()
    return inlines(*(part for part in (before, *years, after) if part))


def _own(book: HandbookContext, entry: Retention) -> Row:
    kept = list(book.fig(RETENTION_KEEP(entry=entry.id))) if entry.keep else []
    if entry.until:
        kept += inlines(", and " if kept else "", f"until {entry.until.value}")
    return (
        entry.what.value,
        tuple(kept),
        entry.rule.value,
        entry.source.value if entry.source else "the site's own policy",
    )


# ---- people and copies ---------------------------------------------------------------


def _people(book: HandbookContext) -> Iterator[Block]:
    people = book.program.people
    if people is None:
        yield para(fixed("registers.no-people"))
        return
    public = book.program.site.names_public
    heads = ("Who", "Role", "May", "From", "Until", *(("Assessed by",) if public else ()))
    rows = (_person(book, person) for person in people.values())
    yield table(heads, rows, empty="nobody is listed")
    if not public:
        yield para(fixed("registers.names-left-out"))


def _person(book: HandbookContext, person: Person) -> Row:
    today = book.ledger.today
    until = inlines(day_text(person.until.value))
    lapsed = person.until.value < today
    made: Row = (
        inlines(book.person(person)),
        inlines(word(ROLES, person.role.value)),
        inlines(", ".join(kind.value.replace("-", " ") for kind in person.kinds)),
        inlines(day_text(person.start.value)),
        (Strong(inlines("lapsed on ", until)),) if lapsed else until,
    )
    return (*made, inlines(person.assessed_by.value)) if book.program.site.names_public else made


def _copies(book: HandbookContext) -> Iterator[Block]:
    if not book.program.copies:
        yield para(fixed("registers.no-copies"))
        return
    rows = (
        (
            book.reference(f"card:{entry.card.value}"),
            str(entry.revision.value),
            str(entry.copies.value),
            book.holder(entry.holder.value),
        )
        for entry in book.program.copies
    )
    yield table(("Card or document", "Revision", "Copies", "Holder"), rows, numeric=(1, 2))


# ---- settings ------------------------------------------------------------------------


def _read_back(book: HandbookContext) -> Iterator[Block]:
    if not book.program.settings:
        yield para(fixed("registers.no-read-back"))
        return
    share, age = book.maybe(SITE_SETTINGS_READ()), book.fig(SITE_SETTINGS_READ_EVERY())
    if share:
        yield para(
            "Units in use read back within ", *age, ": ", *share, f" ({book.ledger[SITE_SETTINGS_READ()].note})."
        )
    else:
        yield para("A reading counts for ", *age, ".")
    used = [unit for unit in book.program.units.values() if unit.in_use]
    read = book.computed.logbook.read_back
    missing = {unit.id: unit for unit in used if unit.id not in read}
    unjudged: dict[str, list[str]] = {}
    for setting in book.program.settings:
        if setting.name.value not in SETTINGS:
            unjudged.setdefault(setting.unit.value, []).append(f"{setting.name.value} {setting.value.text}")
    rows = (
        _unit_read(book, unit, unjudged.get(unit.id, []))
        for unit in used
        if unit.id in book.computed.logbook.read_back or not many_units(book)
    )
    yield table(("Unit", "Last read", "What this handbook does not judge"), rows)
    if missing and many_units(book):
        yield para(f"Never read back, in use: {len(missing)}.")


def _unit_read(book: HandbookContext, unit: Unit, unjudged: list[str]) -> Row:
    days = book.computed.logbook.read_back.get(unit.id, ())
    last = inlines(day_text(max(days))) if days else (Strong(inlines("never: not known")),)
    return book.link("unit", unit.id), last, "; ".join(unjudged)


# ---- logs of test stations -----------------------------------------------------------


def _station_log(book: HandbookContext) -> Iterator[Block]:
    """What stations wrote themselves, newest first."""
    stations, rows = book.program.stations, book.program.station_log
    if not rows:
        yield para(fixed("registers.no-station-log"))
        return
    columns = ("Time", "Station", "What", "Inlet, lot", "Unit", "Result", "Software")
    shown = (_station_row(book, row, stations.get(row.station.value)) for row in reversed(rows[-LATEST:]))
    yield table(columns, shown)


def _station_row(book: HandbookContext, row: StationRow, station: Station | None) -> Row:
    gas = ", ".join(given.text for given in (row.inlet, row.lot) if given is not None)
    unit = row.unit.value if row.unit else ""
    untold = "not told" if row.what.value in (TEST, LEAK_TEST) else ""
    result = untold if row.passed is None else "pass" if row.passed else "fail"
    return (
        moment_text(row.time.value),
        station.name.value if station else row.station.value,
        row.what.value.replace("-", " "),
        gas,
        book.link("unit", unit) if unit in book.program.units else unit,
        Strong(inlines(result)) if row.passed is False else result,
        row.software.value if row.software else "",
    )


# ---- fitted sensors ------------------------------------------------------------------


def _fitted(book: HandbookContext) -> Iterator[Block]:
    units = list(book.program.units.values())
    if many_units(book):
        yield para(fixed("registers.many"))
        return
    rows = [row for unit in units for row in _sensors(book, unit)]
    columns = ("Unit", "State", "Holder", "Sensor", "Serial", "Fitted on")
    yield table(columns, rows[:LATEST], empty="no unit is listed")


def _sensors(book: HandbookContext, unit: Unit) -> Iterator[Row]:
    holder = book.holder(unit.holder.value) if unit.holder else "nobody says"
    first: Row = ((book.link("unit", unit.id),), inlines(word(STATES, unit.state.value)), inlines(holder))
    for _, sensor in book.program.fitted(book.program.models[unit.model.value]):
        part = unit.fitted(sensor.id)
        serial = part.serial.value if part and part.serial else "not known"
        day = day_text(part.fitted.value) if part and part.fitted else "not known"
        yield (*first, book.link("sensor", sensor.id), serial, day)
        first = ((), (), ())
