"""Calendars as RFC 5545 text: all-day events, no clock read, the same bytes every time."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from builder.base.digest import digest
from builder.base.installed import version_of
from builder.base.sources import sources_digest
from builder.base.store import Store
from builder.pages.calendars import CalendarFile
from builder.pages.calendars import Event as DueEvent

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//detector-handbook//checks due//EN"


def kept_calendar(file: CalendarFile, as_of: date, store: Store) -> bytes:
    """The bytes of one calendar as ``calendar_ics`` makes them, from ``store`` where nothing of it changed."""
    key = digest(sources_digest(__name__), version_of("icalendar"), file, as_of)
    found = store.get(key)
    if found is None:
        found = calendar_ics(file, as_of)
        store.put(key, found)
    return found


def calendar_ics(file: CalendarFile, as_of: date) -> bytes:
    """The bytes of one calendar.

    :param as_of: the day everything was judged on; it stamps the events, so that a calendar program takes those of
        a later handbook for newer.
    """
    from icalendar import Calendar, vText  # noqa: PLC0415 - loaded where a calendar is written

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", vText(file.title))  # RFC 7986; the library takes it for text only when told so
    calendar.add("x-wr-calname", vText(file.title))  # what calendar programs older than that read
    for event in file.events:
        calendar.add_component(_event(event, datetime.combine(as_of, time(), UTC)))
    return bytes(calendar.to_ical())


def _event(event: DueEvent, stamp: datetime) -> Event:
    from icalendar import Event  # noqa: PLC0415 - as above

    made = Event()
    made.add("uid", event.uid)
    made.add("dtstamp", stamp)
    made.add("dtstart", event.day)  # a date without an end is the whole of that day
    made.add("summary", event.summary)
    made.add("description", event.text)
    if event.place:
        made.add("location", event.place)
    made.add("transp", "TRANSPARENT")  # nobody is busy all day with it
    return made
