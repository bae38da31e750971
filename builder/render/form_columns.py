"""How wide the columns of a log sheet are: as wide as a hand needs, and as the widest word of their heads is."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.pages.blocks import Inlines
from builder.pages.log_rows import LogChannel, LogGroup
from builder.render.form_fill import BOLD, MEDIUM, PLAIN, HeadType, channel_head, word_room

FIRST = (30.0, 23.0)
"""Widths of the columns for unit with serial, and for time, in millimetres."""
LAST = {
    "lot": 15.0, "last": 15.0, "by": 15.0, "verdict": 16.0, "alarms": 20.0, "blocked": 15.5, "set": 14.5, "tick": 16.0,
    "next": 15.0,
}  # fmt: skip
"""Widths of the last columns by kind; one that is not named takes what is left."""
LAST_ALONE = {**LAST, "blocked": 32.0, "tick": 26.0}
"""The same where nothing is read from a display."""
READING_LEAST, READING_MOST, CHANNEL_MOST = 8.5, 33.0, 36.0
"""A column for one reading is at least this wide, and at most as wide as one reading or one channel needs."""
CHANNEL_LEAST = 17.0
"""A channel has to hold its name, window and alarms, even with one column."""
REMARKS, REMARKS_LEAST = "remarks", 19.0
"""Kind of the last column of every sheet, and how wide it is at least."""


class Span(NamedTuple):
    """What a column may take, in millimetres."""

    low: float
    high: float
    least: float
    """What a hand needs."""
    need: float
    """What the words of its head take, and no less than ``least``."""

    def held(self, width: float) -> "Span":
        """The same column, as wide as this."""
        return Span(width, width, self.least, width)


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Divides the width of a paper between the columns of its groups."""

    width: float
    """Of all columns, in mm."""
    said: Callable[[Inlines], str]
    """Gives the words of inline content."""
    type: HeadType

    def widths(self, group: LogGroup) -> tuple[float, ...]:
        """Of all columns of a group, in mm: readings share what the others leave, and what they leave is for remarks.

        Where there is no room for all words none is heeded: the layout is then refused, and names what is too wide.

        :raises RenderError: when the paper cannot hold what hands need.
        """
        readings, last = self._readings(group.channels), self._last(group)
        room = self.width - sum(FIRST)
        if _need((*readings, *last)) > room:
            readings, last = ([span._replace(need=span.least) for span in spans] for spans in (readings, last))
        need, left = _need(readings), room - _need(last)
        if need > left:
            told = f"{len(readings)} columns for readings need {need:.1f} mm, of which the paper has {left:.1f} mm"
            raise RenderError(f"{told}: {group.title}; forms.yaml can keep checks separate")
        made = shared(left, readings)
        return tuple(round(width, 3) for width in (*FIRST, *made, *shared(room - sum(made), last)))

    def parted(self, groups: Iterable[LogGroup]) -> Iterator[LogGroup]:
        """The groups; one with more channels than the paper holds side by side in parts, one below another.

        What is filled in once a line stands in the last part.
        """
        for group in groups:
            room = self.width - sum(FIRST) - _need(self._last(group))
            parts: list[list[LogChannel]] = [[]]
            used = 0.0
            for channel in group.channels:
                need = _need(self._readings((channel,)))
                if parts[-1] and used + need > room:
                    parts.append([])
                    used = 0.0
                parts[-1].append(channel)
                used += need
            if len(parts) == 1:
                yield group
                continue
            for number, part in enumerate(parts, start=1):
                title = f"{group.title} · {number}/{len(parts)}"
                write = group.write if number == len(parts) else group.write[-1:]
                yield replace(group, title=title, channels=tuple(part), write=write)

    def _readings(self, channels: Iterable[LogChannel]) -> list[Span]:
        spans: list[Span] = []
        for channel in channels:
            count = len(channel.write)
            low, high = max(CHANNEL_LEAST / count, READING_LEAST), min(CHANNEL_MOST / count, READING_MOST)
            needs = [max(low, word_room(column.name, self.type.text, MEDIUM)) for column in channel.write]
            small = (word_room(self.said(line), self.type.small, PLAIN) for line in channel.says)
            lacks = max(word_room(channel_head(channel), self.type.text, BOLD), *small, 0.0) - sum(needs)
            spans += [Span(low, high, low, need + max(0.0, lacks / count)) for need in needs]
        return spans

    def _last(self, group: LogGroup) -> list[Span]:
        """Of the last columns."""
        usual = LAST if group.channels else LAST_ALONE
        spans: list[Span] = []
        for column in group.write:
            low = usual.get(column.kind, 0.0)
            words = word_room(column.name, self.type.text, MEDIUM)
            small = word_room(self.said(column.says), self.type.small, PLAIN)
            least = REMARKS_LEAST if column.kind == REMARKS else low
            spans.append(Span(low, low or self.width, least, max(least, words, small)))
        return spans


def shared(room: float, spans: Sequence[Span]) -> list[float]:
    """Widths of columns: the same part of the way from its least to its most for each, but none under what it needs.

    >>> shared(50, [Span(10, 30, 10, 10), Span(10, 30, 10, 28)])
    [22.0, 28.0]
    """
    low, high = sum(span.low for span in spans), sum(span.high for span in spans)
    part = min(1.0, (room - low) / (high - low or 1))
    widths = [span.low + (span.high - span.low) * part for span in spans]
    pairs = [*zip(spans, widths, strict=True)]
    if all(width >= span.need for span, width in pairs):
        return widths
    return shared(room, [span.held(span.need) if width < span.need else span for span, width in pairs])


def _need(spans: Iterable[Span]) -> float:
    return sum(span.need for span in spans)
