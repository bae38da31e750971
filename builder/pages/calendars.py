"""What falls due, as calendars: one of the whole site and one an area, as plain data."""

from collections.abc import Iterable
from datetime import date

from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.figures.due_checks import DueCheck, State
from builder.figures.ledger import Ledger
from builder.program.program import Program

ALL = "all"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One check of one unit on the last day it still holds."""

    uid: str
    """Made of site, unit and check alone, so that a calendar program moves the event instead of adding another."""
    day: date
    summary: str
    text: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarFile:
    """One file of events."""

    path: str
    title: str
    area: str
    """Id of the area, or empty for the whole site."""
    events: tuple[Event, ...]


def calendars(computed: Computed) -> tuple[CalendarFile, ...]:
    """The calendar of the whole site, then one for each area in which anything falls due."""
    program, ledger = computed.program, computed.ledger
    dated = tuple(due for due in computed.due_checks if due.state is not State.DAILY)
    made = [_file(program, ledger, "", dated)]
    for area in program.areas:
        here = tuple(due for due in dated if due.unit.area is not None and due.unit.area.value == area)
        if here:
            made.append(_file(program, ledger, area, here))
    return tuple(made)


def calendar_path(area: str) -> str:
    """Where the calendar of an area lies; that of the whole site for an empty id.

    >>> calendar_path(""), calendar_path("wet-well"), calendar_path("all")
    ('calendar/all.ics', 'calendar/wet-well.ics', 'calendar/all--area.ics')
    """
    return f"calendar/{f'{ALL}--area' if area == ALL else area or ALL}.ics"  # no id has two hyphens together


def _file(program: Program, ledger: Ledger, area: str, found: Iterable[DueCheck]) -> CalendarFile:
    name = program.areas[area].name if area else program.site.name.value
    events = [_event(program, ledger, due) for due in found]
    return CalendarFile(
        path=calendar_path(area),
        title=f"Detector checks due, {name}",
        area=area,
        events=tuple(sorted(events, key=lambda event: (event.day, event.uid))),
    )


def _event(program: Program, ledger: Ledger, due: DueCheck) -> Event:
    unit, check = due.unit, due.check
    place = program.areas[unit.area.value].name if unit.area else unit.place
    uid = f"{program.site.short.value.lower()}.{unit.id}.{check.id}@detector-handbook"
    if due.day is None:
        summary = f"{check.name}, unit {unit.id}: {due.state.value}"
        text = "No good check counts: do it before the unit is used. Shown on the day the handbook was judged on."
        return Event(uid=uid, day=ledger.today, summary=summary, text=text, place=place)
    model = program.models[unit.model.value].name
    return Event(
        uid=uid,
        day=due.day,
        summary=f"{check.name}, unit {unit.id}: last day it holds",
        text=f"{model}, serial {unit.serial.value}. Check it on this day at the latest, or take it out of use.",
        place=place,
    )
