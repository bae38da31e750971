"""A unit used, checked or read back in a state that forbids it.

Quarantined and in repair forbid use, and while they last the tests before it. Lent and retired forbid everything, since
the unit is not here. Spare forbids use where movements are kept, since nobody took it. Where nobody says since when a
state holds, late use is asked about. Source: ISO 9001:2015, 7.1.5.2, keeps unfit measuring equipment from use; common
practice.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.figures.logbook.states import Stay, Stays, of_moment, on
from builder.findings.record_findings import WORDS, listed_days
from builder.program.keys.families import AS_OF
from builder.program.records import RECORD_KINDS

ID = "used-in-forbidden-state"
SEVERITIES = (Severity.STOP, Severity.WARN)
LATELY = timedelta(days=30)
"""Where the day of the state is not told, use within this time before the handbook's day is asked about."""
READ_BACK = "reading of settings"
BEFORE_USE = ("bump-test", "zero", "flow-block")
FORBIDS: Mapping[str, frozenset[str]] = {
    "spare": frozenset({"use"}),
    "quarantined": frozenset({"use", *BEFORE_USE}),
    "repair": frozenset({"use", *BEFORE_USE}),
    "lent": frozenset({*RECORD_KINDS, READ_BACK}),
    "retired": frozenset({*RECORD_KINDS, READ_BACK}),
}
"""State to what must not be on record while it holds."""
SAID = {"lent": "lent out", "repair": "in repair"}


@dataclass(frozen=True, slots=True)
class _Event:
    unit: str
    what: str
    day: date
    moment: datetime | None
    """``None`` where only the day is told."""
    where: Where


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for use on or after that day, else a ``warn``; one a unit, state and kind."""
    day = computed.ledger.day(AS_OF())
    groups: dict[tuple[str, str, str], list[tuple[_Event, Stay]]] = {}
    for event in _events(computed):
        stays = computed.logbook.stays.get(event.unit, ())
        if event.day > day or not stays:
            continue
        there = on(stays, event.day) if event.moment is None else of_moment(stays, event.moment)
        if there and all(_forbids(stay, event, day) for stay in there):
            groups.setdefault((event.unit, there[-1].state, event.what), []).append((event, there[-1]))
    for (unit, state, what), found in groups.items():
        yield _finding(unit, state, what, found, computed.logbook.stays[unit])


def _events(computed: Computed) -> Iterator[_Event]:
    """What is on record of units that ever were in a state which forbids something."""
    book = computed.logbook
    barred = {unit: True for unit, stays in book.stays.items() if any(stay.state in FORBIDS for stay in stays)}
    for unit in barred:
        for record, _ in book.units[unit].entries if unit in book.units else ():
            yield _Event(unit, record.kind.value, record.day, record.time.value, record.where)
    for setting in computed.program.settings:
        if setting.unit.value in barred:
            yield _Event(setting.unit.value, READ_BACK, setting.read_on.value, None, setting.where)


def _forbids(stay: Stay, event: _Event, day: date) -> bool:
    if stay.state == "spare" and not isinstance(stay.start, datetime):
        return False
    if stay.start is None and event.day < day - LATELY:
        return False
    if event.what in BEFORE_USE and stay.state in ("quarantined", "repair") and stay.end is not None:
        return False  # so it was brought back
    return event.what in FORBIDS.get(stay.state, ())


def _finding(unit: str, state: str, what: str, found: list[tuple[_Event, Stay]], stays: Stays) -> Finding:
    stay = found[-1][1]
    start = stay.start.date() if isinstance(stay.start, datetime) else stay.start
    is_now = stay.end is None and stay == stays[-1]
    done = "was used" if what == "use" else f"there is a record of its {WORDS.get(what, what)}"
    since = f"since {day_text(start)}" if start else "nobody says since when"
    told = f"{'is' if is_now else 'was'} {SAID.get(state, state)} {since}{'' if stay.end is None else _until(stay)}"
    days = listed_days(sorted({event.day for event, _ in found}))
    stop = what == "use" and start is not None and state != "spare"
    return Finding(
        rule=ID,
        severity=Severity.STOP if stop else Severity.WARN,
        message=f"{unit} {told}, and {done} all the same: {days}.",
        where=stay.where,
        source="ISO 9001:2015, 7.1.5.2; common practice",
        mend="find out who had it and what was measured; then correct its state or the record, whichever is wrong",
        subject=f"unit:{unit}",
        lines=tuple(event.where for event, _ in found),
    )


def _until(stay: Stay) -> str:
    return f" until {day_text(stay.end.date())}" if stay.end else ""
