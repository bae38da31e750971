"""In which form times are written, worked out from all of them; several fit where days and months can be swapped."""

from collections.abc import Sequence
from datetime import datetime

from builder.program.clock_times import ISO, YEARS
from builder.program.values import DAY

DAYS = (
    "%d.%m.%Y", "%d.%m.%y", "%d/%m/%Y", "%m/%d/%Y", "%d/%m/%y", "%m/%d/%y", "%d-%m-%Y", "%m-%d-%Y", "%Y/%m/%d",
    "%Y-%m-%d", "%d %b %Y", "%d-%b-%Y", "%b %d, %Y",
)  # fmt: skip
HOURS = ("%H:%M", "%H:%M:%S", "%I:%M %p", "%I:%M:%S %p", "%H.%M")
PLAIN = ""
"""The form of ISO 8601, which no map needs to name."""


def forms_of_times(texts: Sequence[str]) -> tuple[str, ...]:
    """Every form in which all of them are a day with an hour.

    >>> forms_of_times(["24.11.2026 06:40"])
    ('%d.%m.%Y %H:%M',)
    """
    if all(ISO.fullmatch(text) for text in texts):
        return (PLAIN,)
    return _fitting([f"{day} {hour}" for day in DAYS for hour in HOURS], texts)


def forms_of_days(texts: Sequence[str]) -> tuple[str, ...]:
    """Every form in which all of them are days.

    >>> forms_of_days(["03/04/2026", "05/04/2026"])
    ('%d/%m/%Y', '%m/%d/%Y')
    """
    if all(DAY.fullmatch(text) for text in texts):
        return (PLAIN,)
    return _fitting(DAYS, texts)


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
