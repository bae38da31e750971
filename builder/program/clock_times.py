"""Times as exported: ISO 8601, or a format and zone that the column map names; always with an offset in the end.

In which form they are written can be worked out from all of them; several fit where days and months can be swapped.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cache
from zoneinfo import ZoneInfo, available_timezones

from builder.base.nearest import nearest
from builder.base.record import dataclass
from builder.base.where import Given
from builder.program.faults import Faults
from builder.program.values import DAY

ISO = re.compile(r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(?::\d{2}(?:\.\d{1,6})?)?(Z|[+\-]\d{2}:?\d{2})?")
YEARS = range(1970, 2200)
"""Years a record can be from; anything else is a slip of the pen."""
PROBE = datetime(2003, 11, 22, 16, 47, tzinfo=UTC)
"""A time no two parts of which can be taken for each other."""
FORM = "a time such as 2026-11-24T06:40-07:00"


class TimeError(ValueError):
    """A text is no time; ``allowed`` says what would be."""

    def __init__(self, found: str, allowed: str) -> None:
        self.found = found
        self.allowed = allowed
        super().__init__(f"{found}; allowed: {allowed}")

    def __reduce__(self) -> tuple[type[TimeError], tuple[str, str]]:
        return (type(self), (self.found, self.allowed))


@dataclass(frozen=True, slots=True)
class Clock:
    """How the times of one file are written."""

    form: str = ""
    """A format of ``strptime``; empty for ISO 8601."""
    zone: ZoneInfo | None = None
    """Zone of times written without an offset."""

    def read(self, text: str) -> datetime:
        """The time in a text, with a fixed offset.

        :raises TimeError: for what is no time, or a local time that names no moment or two.
        """
        moment = self._parse(text)
        if moment.year not in YEARS:
            raise TimeError(f"the year {moment.year}", f"years {YEARS.start} to {YEARS.stop - 1}")
        if moment.tzinfo is not None:
            return moment
        if self.zone is None:
            raise TimeError(f"time {text!r} without zone", f"{FORM}, or a zone in maps.yaml")
        return _moment_of(moment, self.zone, text)

    def day(self, text: str) -> date:
        """The day in a text: ISO 8601, or the format of the map.

        :raises TimeError: for what is no day.
        """
        try:
            plain = not self.form and DAY.fullmatch(text)
            day = date.fromisoformat(text) if plain else self._parse(text).date()
        except ValueError as error:
            form = PROBE.strftime(self.form) if self.form else "2026-11-24"
            raise TimeError(f"{text!r} is no day", f"a real day such as {form}") from error
        if day.year not in YEARS:
            raise TimeError(f"the year {day.year}", f"years {YEARS.start} to {YEARS.stop - 1}")
        return day

    def _parse(self, text: str) -> datetime:
        match = ISO.fullmatch(text)
        try:
            if match and (not self.form or (match.group(1) and text[10] == "T")):
                return datetime.fromisoformat(text)
            if self.form:
                return datetime.strptime(text, self.form)  # noqa: DTZ007 - the zone is given apart
        except ValueError:
            pass
        form = f"a real time in the form {PROBE.strftime(self.form)}, or {FORM}" if self.form else FORM
        form += f'; or time-format: "{DAY_ALONE}" in maps.yaml' if DAY.fullmatch(text) and not self.form else ""
        raise TimeError(f"{text!r} for 'time'", form)


def _moment_of(local: datetime, zone: ZoneInfo, text: str) -> datetime:
    """A local time with its offset; the hours when clocks change are refused rather than guessed."""
    first = local.replace(tzinfo=zone)
    offset, later = first.utcoffset(), first.replace(fold=1).utcoffset()
    if offset is None or later is None:  # pragma: no cover - a zone always knows
        raise TimeError(f"time {text!r} in {zone.key}", FORM)
    if offset != later:
        if first.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != local:
            found = f"local time {text!r} does not exist in {zone.key}: clocks were put forward"
            raise TimeError(found, "a time that exists")
        allowed = f"the same with its offset, {local.replace(tzinfo=_fixed(offset)).isoformat(timespec='minutes')} or "
        allowed += local.replace(tzinfo=_fixed(later)).isoformat(timespec="minutes")
        raise TimeError(f"local time {text!r} comes twice in {zone.key}: clocks were put back", allowed)
    return local.replace(tzinfo=_fixed(offset))


@cache
def _fixed(offset: timedelta) -> timezone:
    return timezone(offset)


def zone_of(given: Given[str], faults: Faults) -> ZoneInfo | None:
    """The zone of that name."""
    try:
        return ZoneInfo(given.value)
    except (OSError, ValueError, KeyError):  # an unknown name, a path, a folder of zones
        allowed = "the name of a time zone, such as America/Denver"
        faults.unknown(
            given.where, f"unknown zone {given.value!r}", allowed, nearest(given.value, available_timezones())
        )
        return None


def form_of(given: Given[str], faults: Faults) -> str:
    """A time format that gives back the day, and the hour if it has one."""
    try:
        back = datetime.strptime(PROBE.strftime(given.value), given.value)  # noqa: DTZ007 - only the parts count
    except (ValueError, re.error):
        back = None
    if back is None or back.date() != PROBE.date() or back.hour not in (0, PROBE.hour):
        allowed = "day, month, year and hours that can be told apart, such as %d.%m.%Y %H:%M"
        faults.choice(given.where, f"time-format {given.value!r}", allowed)
        return ""
    return given.value


# ---- in which form times of an unknown table are written ------------------------

DAYS = (
    "%d.%m.%Y", "%d.%m.%y", "%d/%m/%Y", "%m/%d/%Y", "%d/%m/%y", "%m/%d/%y", "%d-%m-%Y", "%m-%d-%Y", "%d-%m-%y",
    "%m-%d-%y", "%y-%m-%d", "%Y/%m/%d", "%Y-%m-%d", "%d %b %Y", "%d %b %y", "%d-%b-%Y", "%d-%b-%y", "%b %d, %Y",
)  # fmt: skip
HOURS = ("%H:%M", "%H:%M:%S", "%I:%M %p", "%I:%M:%S %p", "%H.%M")
TIMES = tuple(f"{day} {hour}" for day in DAYS for hour in HOURS)
PLAIN = ""
"""The form of ISO 8601, which no map needs to name."""
DAY_ALONE = "%Y-%m-%d"
"""The form of times that are days of ISO 8601 without an hour, which a map has to name."""


def forms_of_times(texts: Sequence[str], said: str = "") -> tuple[str, ...]:
    """Every form in which all of them are a day with an hour, or that of a person, who may know another one.

    >>> forms_of_times(["24.11.2026 06:40"])
    ('%d.%m.%Y %H:%M',)
    """
    if all(ISO.fullmatch(text) for text in texts):
        return (PLAIN,)
    return _fitting([said], texts) or _fitting(TIMES, texts)


def forms_of_days(texts: Sequence[str], said: str = "") -> tuple[str, ...]:
    """Every form in which all of them are days, or that of a person, who may know another one.

    >>> forms_of_days(["03/04/2026", "05/04/2026"])
    ('%d/%m/%Y', '%m/%d/%Y')
    """
    if all(DAY.fullmatch(text) for text in texts):
        return (PLAIN,)
    return _fitting([said], texts) or _fitting(DAYS, texts)


def first_apart(texts: Sequence[str]) -> str:
    """The first of them that has none of the forms of all before it.

    >>> first_apart(["03/04/2026", "05/13/2026", "13/05/2026"])
    '13/05/2026'
    """
    forms: list[str] = [PLAIN, *DAYS, *TIMES]
    for text in texts:
        plain = ISO.fullmatch(text) or DAY.fullmatch(text)
        forms = [form for form in forms if (_fits(text, form, years=True) if form else plain)]
        if not forms:
            return text
    return texts[-1]


def are_hours(texts: Sequence[str]) -> bool:
    """Whether all of them are times of a day."""
    return bool(_fitting(HOURS, texts, years=False))


def without_offset(texts: Sequence[str], form: str) -> bool:
    """Whether some of them hang on a time zone that they do not tell."""
    return bool(form) or any((found := ISO.fullmatch(text)) is not None and not found.group(1) for text in texts)


def _fitting(forms: Sequence[str], texts: Sequence[str], *, years: bool = True) -> tuple[str, ...]:
    return tuple(form for form in forms if texts and all(_fits(text, form, years=years) for text in texts))


def _fits(text: str, form: str, *, years: bool) -> bool:
    try:
        moment = datetime.strptime(text, form)  # noqa: DTZ007 - only its form counts
    except ValueError:
        return False
    return moment.year in YEARS or not years
