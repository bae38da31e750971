"""What was done: the latest records on the page of each unit, and all records month by month."""

from collections.abc import Iterator
from pathlib import PurePosixPath

from builder.figures.logbook.verdicts import NOT_CHECKS, Verdict
from builder.figures.topics.records import charted_readings, latest_rows, months
from builder.pages.blocks import Axis, Block, Chart, Inlines, Line, Mark, Strong
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed, fixed_paragraphs, fixed_words
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.labels import capital, word
from builder.pages.handbook.parts import Row, code, head, inlines, page, para, subhead, table, to
from builder.program.inventory import Unit
from builder.program.keys import families as keyed
from builder.program.records import RECORD_KINDS, Record

KINDS = {
    "setting-change": "setting changed",
    "sensor-change": "sensor changed",
    "zero": "zero in clean air",
    "flow-block": "flow-block test",
}
COLUMNS = ("Day", "What", "As found", "As left", "Alarm after", "Result", "Cylinder", "By", "Written in")
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def unit_history(book: HandbookContext, unit: Unit) -> tuple[Block, ...]:
    """The latest checks of a unit, newest first; nothing where the site keeps no records here."""
    if not book.program.records:
        return ()
    log = book.computed.logbook.units.get(unit.id)
    rows = (_row(book, record, verdict) for record, verdict in (latest_rows(log) if log else ()))
    return (
        head("What was done", "history"),
        table(COLUMNS, rows, numeric=(2, 3, 4), caption="Latest records, newest first", empty="nothing is recorded"),
        *_charts(book, unit),
        *_learned(book, unit),
        para("Readings are printed as they were written. Month by month: ", to("page:records", "records"), "."),
    )


def _charts(book: HandbookContext, unit: Unit) -> Iterator[Block]:
    """As-found readings of each sensor over time, between the edges of the window they are judged by."""
    found = book.computed.logbook
    lines = charted_readings(book.program, found, found.units[unit.id]) if unit.id in found.units else {}
    for sensor, readings in lines.items():
        keys = [found.key_of(part.record) for part in readings]
        points = tuple((keyed.RECORD_DAYS.on(key), keyed.RECORD_AS_FOUND.on(key)) for key in keys)
        window = readings[-1].window.key
        marks = (
            (keyed.WINDOW_FROM.on(window), "lowest that passes"),
            (keyed.WINDOW_TO.on(window), "highest that passes"),
        )
        name = book.names[f"sensor:{sensor}"]
        yield Chart(
            title=f"Readings as found, {name}",
            description=fixed_words("history.drift"),
            x=Axis("Since the first reading shown", "days"),
            y=Axis("As found", book.ledger[points[0][1]].unit, zoomed=True),
            lines=(Line("as found", points),),
            marks=tuple(Mark(key, label) for key, label in marks),
        )
        rows = (
            tuple(book.fig(part.on(key)) for part in (keyed.RECORD_DAY, keyed.RECORD_DAYS, keyed.RECORD_AS_FOUND))
            for key in keys
        )
        yield table(("Day", "After", "As found"), rows, numeric=(1, 2), caption=f"{name}: the numbers")


def _learned(book: HandbookContext, unit: Unit) -> Iterator[Block]:
    """What the as-found readings of each sensor teach; nothing where they are too few."""
    model = book.program.models[unit.model.value]
    sensors = dict.fromkeys(sensor.id for _, sensor in book.program.fitted(model))
    known = [sensor for sensor in sensors if keyed.UNIT_DRIFT(unit=unit.id, sensor=sensor) in book.ledger]
    if not known:
        return
    rows = (
        (book.link("sensor", sensor), book.fig(keyed.UNIT_DRIFT(unit=unit.id, sensor=sensor)),
         book.fig(keyed.UNIT_NEXT_INTERVAL(unit=unit.id, sensor=sensor), absent="no interval is worked out"))
        for sensor in known
    )  # fmt: skip
    caption = "What the readings before adjustment teach"
    yield table(("Sensor", "Drift in one day", "Recommended interval"), rows, numeric=(1, 2), caption=caption)
    yield para(fixed("history.recommended"))


def _row(book: HandbookContext, record: Record, verdict: Verdict) -> Row:
    key = book.computed.logbook.key_of(record)
    read = (keyed.RECORD_AS_FOUND, keyed.RECORD_AS_LEFT, keyed.RECORD_SECONDS)
    return (
        book.fig(keyed.RECORD_DAY.on(key)),
        _what(book, record),
        *(book.maybe(part.on(key)) or () for part in read),
        _result(record, verdict),
        _named(book, "cylinder", record.cylinder.value if record.cylinder else ""),
        _who(book, record),
        code(f"{PurePosixPath(record.where.file).name}:{record.where.line}"),
    )


def _what(book: HandbookContext, record: Record) -> Inlines:
    kind = capital(word(KINDS, record.kind.value))
    if record.setting and record.value:
        order = f", ordered by {record.order.value}" if record.order else ", no order is named"
        kind += f": {record.setting.value} to {record.value.value}{order}"
    return inlines(f"{kind}, ", _named(book, "sensor", record.sensor.value)) if record.sensor else inlines(kind)


def _named(book: HandbookContext, kind: str, name: str) -> Inlines:
    """A linked name; plain where the site has no such thing, nothing where none is written."""
    return (book.reference(f"{kind}:{name}"),) if name and f"{kind}:{name}" in book.names else inlines(name)


def _who(book: HandbookContext, record: Record) -> str:
    by = record.by.value if record.by else ""
    person = (book.program.people or {}).get(by)
    return book.person(person) if person else by


def _result(record: Record, verdict: Verdict) -> Inlines:
    """The result as written, and the builder's own where it is another."""
    written = record.result.value if record.result else ""
    note = f" ({record.note})" if record.note else ""
    if written == "pass" and verdict.good is False:
        return (*inlines(f"{written} as written; "), Strong(inlines("a fail by its reading")), *inlines(note))
    if written == "pass" and verdict.good is None and record.kind.value not in NOT_CHECKS:
        return (*inlines(f"{written} as written; "), Strong(inlines("proves nothing")), *inlines(note))
    return (Strong(inlines(written)), *inlines(note)) if written == "fail" else inlines(written, note)


# ---- by month ---------------------------------------------------------------------------


def record_pages(book: HandbookContext) -> Iterator[Page]:
    """The page of all records; none where the site keeps no records here."""
    if not book.program.records:
        return
    lead = inlines("What was recorded each month, read again by the builder, up to ", *book.fig(keyed.AS_OF()), ".")
    yield page("page:records", "Records by month", "checks", lead, _months(book))


def _months(book: HandbookContext) -> Iterator[Block]:
    yield from fixed_paragraphs("history.judged")
    yield head("On time, over all records", "on-time")
    rows = (
        (book.link("check", check), book.fig(keyed.CHECK_ON_TIME(check=check)), found.note)
        for check in book.program.checks
        if (found := book.ledger.get(keyed.CHECK_ON_TIME(check=check)))
    )
    yield table(("Check", "On time", "Counted"), rows, numeric=(1,), empty="too little is recorded")
    yield head("Month by month", "months")
    for month in months(book.ledger):
        year, number = month.split("-")
        yield subhead(f"{MONTH_NAMES[int(number) - 1]} {year}", anchor=f"month-{month}")
        yield _month(book, month)


def _month(book: HandbookContext, month: str) -> Block:
    counts = (keyed.MONTH_ROWS, keyed.MONTH_GOOD, keyed.MONTH_FAILED)
    rows: Iterator[Row] = (
        (
            capital(word(KINDS, kind)),
            *(book.fig(part(month=month, record=kind)) for part in counts),
            _on_time(book, month, kind),
        )
        for kind in RECORD_KINDS
        if keyed.MONTH_ROWS(month=month, record=kind) in book.ledger
    )
    return table(("What", "Rows", "Prove a pass", "Show a fail", "On time"), rows, numeric=(1, 2, 3, 4))


def _on_time(book: HandbookContext, month: str, kind: str) -> Inlines:
    checks = (check.id for check in book.program.checks.values() if check.kind == kind)
    found = [book.maybe(keyed.MONTH_ON_TIME(month=month, check=check)) for check in checks]
    return next((figure for figure in found if figure), None) or inlines("no interval ended")
