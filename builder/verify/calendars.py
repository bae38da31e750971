"""Calendars, read by a few lines of RFC 5545 of their own, against the table of what falls due."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TypeAlias

from builder.verify.reading import DIGITS
from builder.verify.report import Report
from builder.verify.site import Site
from builder.verify.tables import EXACT, rows

Event: TypeAlias = dict[str, str]
UID = re.compile(r"(?P<short>[^.@]+)\.(?P<unit>[^@]+)\.(?P<check>[^.@]+)@detector-handbook")
HOLDS = "holds until the end of" + EXACT
NEVER = "never done"


def check_calendars(site: Site, report: Report) -> None:
    """Every event is a row of ``due.csv`` with its day, and every such row is an event."""
    check = report.check("events of calendars")
    table = [{**row} for row in rows(site, "data/due.csv")]
    due = {f"{row['unit']}.{row['check']}": row for row in table if row[HOLDS] or row["state"] == NEVER}
    shorts: set[str] = set()
    for path in site.paths("calendar/", ".ics"):
        head, events = read_calendar(site.text(path))
        area = path.removeprefix("calendar/").removesuffix(".ics")
        area = {"all": "", "all--area": "all"}.get(area, area)
        wanted = {name for name, row in due.items() if area in ("", row["area"])}
        found = []
        for event in events:
            match = UID.fullmatch(event.get("UID", ""))
            name = f"{match['unit']}.{match['check']}" if match else ""
            shorts |= {match["short"]} if match else set()
            found.append(name)
            why = next(_otherwise(site, event, due.get(name)), "")
            check.expect(not why, f"{site.at(path)}: {event.get('UID', 'an event')}: {why}")
        check.expect(sorted(found) == sorted(wanted), f"{site.at(path)} has other events than data/due.csv")
        place = next((row["place"] for row in table if area and row["area"] == area), site.json("figures.json")["site"])
        titles = {head.get("NAME", ""), head.get("X-WR-CALNAME", "")}
        good = len(titles) == 1 and head.get("VERSION") == "2.0" and titles.pop().replace("'", "").endswith(place)
        check.expect(good, f"{site.at(path)}: its head is not that of a calendar of {place!r}")
    check.expect(len(shorts) <= 1, f"{site.at('calendar/')}: its events are of several sites: {sorted(shorts)}")


def _otherwise(site: Site, event: Event, row: Mapping[str, str] | None) -> Iterator[str]:
    """What an event tells otherwise than the table does."""
    if row is None:
        yield "data/due.csv has no such row"
        return
    today = site.json("figures.json")["as_of"]
    day = row[HOLDS] or today
    if event.get("DTSTART") != day.replace("-", ""):
        yield f"its day is {event.get('DTSTART')!r}, but data/due.csv tells {day}"
    if event.get("DTSTAMP") != today.replace("-", "") + "T000000Z":
        yield f"its stamp is {event.get('DTSTAMP')!r}, but the handbook is of {today}"
    if DIGITS.findall(event.get("SUMMARY", "")) != DIGITS.findall(f"{row['check name']} {row['unit']}"):
        yield f"it says {event.get('SUMMARY')!r} of {row['unit']}"
    told = f"{row['model']} {row['serial']}" if row[HOLDS] else ""
    if DIGITS.findall(event.get("DESCRIPTION", "")) != DIGITS.findall(told):
        yield f"it says {event.get('DESCRIPTION')!r} of {row['unit']}"
    if event.get("LOCATION", "").replace("'", "") != row["place"]:
        yield f"its place is {event.get('LOCATION')!r}, but data/due.csv tells {row['place']!r}"


def read_calendar(text: str) -> tuple[dict[str, str], list[Event]]:
    r"""The properties of a calendar, and those of each of its events, without their parameters.

    >>> read_calendar("BEGIN:VCALENDAR\nNAME:A\\, b\n c\nBEGIN:VEVENT\nUID:1\nEND:VEVENT\nEND:VCALENDAR")
    ({'BEGIN': 'VCALENDAR', 'NAME': 'A, bc', 'END': 'VCALENDAR'}, [{'BEGIN': 'VEVENT', 'UID': '1', 'END': 'VEVENT'}])
    """
    head: dict[str, str] = {}
    events: list[Event] = []
    inside = head
    for line in re.sub(r"\r?\n[ \t]", "", text).splitlines():
        name, _, value = line.partition(":")
        if (name, value) == ("BEGIN", "VEVENT"):
            events.append({})
            inside = events[-1]
        inside[name.partition(";")[0]] = re.sub(r"\\([,;\\])", r"\1", value).replace("\\n", "\n")
        if (name, value) == ("END", "VEVENT"):
            inside = head
    return head, events
