"""How many free lines the last page of a log sheet has room for, counted from heights of type before it is laid out.

What is printed must be known before layout, since it is verified without. Heads are counted at the widths of their
letters, a little on the large side, so a sheet never runs on to a page for the sake of free lines.
"""

from collections.abc import Callable, Iterable, Sequence

from builder.base.record import dataclass
from builder.pages.blocks import Inlines
from builder.pages.log_rows import LogGroup, LogLine
from builder.render.fonts import text_width

MM_A_PT = 25.4 / 72
TEXT_PT, LINE_PT, TITLE_PT, NOTE_PT = 8.4, 7.8, 10.0, 8.4
"""Type of heads, their small lines, titles of groups and notes beside them: ``templates/css/forms.css``."""
LEADING = 1.2
PADDING, ROW_PADDING, TITLE_PADDING = 1.8, 1.0, 1.8
"""Of a cell left and right, of a cell above and below, of the title of a group, in mm."""
GAP, BEFORE_GAP, SAFETY = 1.6, 1.2, 3.0
BOLD, PLAIN = 700, 400
LETTER = 2.0
"""Millimetres that a line of small type may lack before a letter that has no room."""
LARGER = 1.03
"""Kerning and rounding, on the large side."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A group as it is counted: heights of its head and of a line, and its units, which are not torn."""

    head: float
    row: float
    units: tuple[int, ...]
    """Lines of each."""


def free_rows(tables: Sequence[Table], before: float, room: float) -> int:
    """Lines that the last page still holds, in order of printing; its heads come again on every page.

    >>> free_rows([Table(head=20, row=8.2, units=(5, 5))], 10, 168)
    6
    """
    at = before
    for table in tables:
        at += GAP + table.head
        if at + table.units[0] * table.row > room:
            at = table.head
        for unit in table.units:
            high = unit * table.row
            at = at + high if at + high <= room else table.head + high
    return max(0, int((room - at - SAFETY) // tables[-1].row))


def head_height(group: LogGroup, widths: Sequence[float], said: Callable[[Inlines], str], last: Iterable[str]) -> float:
    """Millimetres of the title of a group and of the heads of its columns.

    :param widths: of all columns, in mm.
    :param said: gives the words of inline content.
    :param last: heads of the last columns, each with its small line after a line feed.
    """
    title = " ".join((group.title, *(said(note) for note in group.notes)))
    top = lines_of(title, sum(widths), TITLE_PT, BOLD) * TITLE_PT * LEADING * MM_A_PT + TITLE_PADDING
    at, tallest = 2, 2 * TEXT_PT * LEADING * MM_A_PT + ROW_PADDING
    below = TEXT_PT * LEADING * MM_A_PT + ROW_PADDING if group.channels else 0.0
    for channel in group.channels:
        wide = sum(widths[at : at + len(channel.write)])
        at += len(channel.write)
        name = f"{channel.name}, {channel.unit}" if channel.unit else channel.name
        high = _cell(name, [said(line) for line in channel.says], wide)
        tallest = max(tallest, high + below)
    for told, wide in zip(last, widths[at:], strict=True):
        name, _, small = told.partition("\n")
        tallest = max(tallest, _cell(name, [small] if small else [], wide))
    return top + tallest


def before_height(lines: Iterable[str], width: float) -> float:
    """Millimetres of what is said above all groups, which flows on in one paragraph."""
    told = "       ".join(lines)
    return lines_of(told, width, TEXT_PT, PLAIN) * TEXT_PT * LEADING * MM_A_PT + BEFORE_GAP if told else BEFORE_GAP


def lines_of(text: str, width: float, points: float, weight: int) -> int:
    """Lines of a text that breaks at its spaces; a word that is too wide by itself takes as many as it ever may."""
    count, used, space = 1, 0.0, text_width(" ", points * MM_A_PT, weight)
    for word in text.split(" "):
        wide = text_width(word, points * MM_A_PT, weight) * LARGER
        if used and used + space + wide > width:
            count, used = count + 1, wide
        else:
            used += wide + (space if used else 0)
        count += int(wide / (width - LETTER)) if wide > width else 0
    return count


def serial_lines(text: str, width: float, points: float) -> int:
    """Lines of a serial, which breaks anywhere where it must: whether or not it breaks at its hyphens first."""
    parted = text.replace("-", "- ").replace("/", "/ ")
    return max(lines_of(said, width, points, PLAIN) for said in (text, parted))


def filled(units: Sequence[tuple[LogLine, ...]], rows: int) -> tuple[tuple[LogLine, ...], ...]:
    """The units of a group with as many free lines more as there is room for, like those at its end."""
    free = units[-1] if units and not units[-1][0].unit else ()
    if not free:
        return tuple(units)
    pattern = free if any(line.about for line in free) else free[:1]
    return (*units, *(pattern for _ in range(rows // len(pattern))))


def _cell(name: str, small: Sequence[str], width: float) -> float:
    room = max(width - PADDING, 1.0)
    high = lines_of(name, room, TEXT_PT, BOLD) * TEXT_PT
    high += sum(lines_of(line, room, LINE_PT, PLAIN) for line in small) * LINE_PT
    return high * LEADING * MM_A_PT + ROW_PADDING
