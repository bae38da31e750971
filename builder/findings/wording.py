"""What every rule needs to weigh and word a finding."""

from builder.base.finding import Severity
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.program.sensors import FLAMMABLE

COMMON_PRACTICE = "Common practice, no published source"


def severity_allowed(severity: Severity, *figures: Figure | None) -> tuple[Severity, str]:
    """The severity that the figures can carry, and the sentence that says so where it is less.

    A value that nobody read in its source never decides a ``stop``: it becomes a ``warn``.
    """
    unread = next((figure for figure in figures if figure is not None and not figure.read), None)
    if severity is not Severity.STOP or unread is None:
        return severity, ""
    caveat = f" This only warns: {unread.printed} rests on a value that was not read in its source."
    return Severity.WARN, caveat


def keys(*figures: Figure | None) -> tuple[str, ...]:
    """Keys of the figures that are there, each once."""
    return tuple(dict.fromkeys(figure.key for figure in figures if figure is not None))


def figure_text(ledger: Ledger, key: str, written: str) -> str:
    """A figure as printed, or the author's own spelling where there is no such figure."""
    figure = ledger.get(key)
    return figure.printed if figure else written


def count_in_words(number: int, one: str) -> str:
    """A number of things in words: ``1 unit``, ``3 units``."""
    return f"{number} {one}" if number == 1 else f"{number} {one}s"


def channel_words(channel: str) -> str:
    """A channel as sentences call it.

    >>> channel_words("flammable"), channel_words("hydrogen-sulfide")
    ('flammable gas', 'hydrogen sulfide')
    """
    return "flammable gas" if channel == FLAMMABLE else channel.replace("-", " ")


def short_list(names: list[str], most: int = 5) -> str:
    """A few names, and how many more there are."""
    more = len(names) - most
    return ", ".join(names[:most]) + (f" and {more} more" if more > 0 else "")
