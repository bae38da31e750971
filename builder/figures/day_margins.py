"""Days until something is due, judged on the handbook's own day."""

from datetime import date

from builder.figures.figure import Figure

SOON = 30
"""Days ahead in which a term counts as near."""


def day_of(figure: Figure | None) -> date | None:
    """The day a figure gives, or ``None``."""
    return figure.exact if figure is not None and isinstance(figure.exact, date) else None


def past(last: date, now: date) -> bool:
    """Whether the last good day is over; that day itself is still good."""
    return last < now


def near(last: date, now: date) -> bool:
    """Whether the last good day is not over, and at most ``SOON`` days away."""
    return 0 <= (last - now).days <= SOON
