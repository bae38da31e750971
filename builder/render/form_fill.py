"""Which lines of a log sheet begin its pages, and how many free ones its last page holds, counted before layout.

What is printed must be known then, since it is verified without layout. And the engine would find that a table has no
room by laying its head and first lines out for nothing, or would tear the lines of its first unit.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby, islice, pairwise

from builder.base.record import dataclass
from builder.pages.blocks import Inlines
from builder.pages.log_rows import LogChannel, LogGroup, LogLine
from builder.render.arabic import text_width
from builder.render.shapes import MM_A_PT

TITLE_PT = 10.0
LEADING, LEADING_BEFORE = 1.15, 1.2
"""Of heads, and of what is said above all groups."""
PADDING, TITLE_PADDING = 1.8, 1.8
"""Of a cell left and right, of the title of a group, in mm."""
THIN, THICK = 0.141, 0.318
"""Of the lines below cells, in mm."""
GAP, NOTE_GAP, SAY_GAP, BEFORE_GAP, SAFETY = 1.6, 2.0, 3.0, 1.2, 3.0
ASKED_MM = 8.0
"""Of the lines to write on above all groups: ``templates/css/forms.css``."""
DOUBT = 0.3
"""Millimetres of a page that are not counted on."""
BOLD, MEDIUM, PLAIN = 700, 600, 400
LETTER = 2.0
"""Millimetres that a line of small type may lack before a letter that has no room."""
LARGER = 1.03
"""Kerning and rounding, on the large side."""

ROW_MM = (8.2, 9.0)
"""Height of a line: room for a pencil in a glove; more where it is read from right to left, its type being larger."""
NAME_MM, SERIAL_MM = (4.0, 5.6), (2.9, 3.4)
"""What a row needs at least for the name of a unit, and for each line of its serial."""
SERIAL_PT = (7.6, 9.0)
"""Type of serials: ``templates/css/forms.css``, ``forms-rtl.css``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadType:
    """Type of heads in points: ``templates/css/forms.css``, ``forms-rtl.css``."""

    text: float
    small: float
    """Of their small lines."""
    note: float
    """Beside the titles of groups."""
    padding: float
    """Above and below the text of a cell, in mm, with what Arabic letters add to its lines."""


TYPES = {
    False: HeadType(text=8.4, small=7.8, note=8.4, padding=1.0),
    True: HeadType(text=9, small=9, note=9, padding=1.7),
}
"""By whether it is read from right to left."""


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
    *_, (_, at) = _ends(tables, before, room)
    return max(0, int((room - at - SAFETY) // tables[-1].row))


def page_starts(tables: Sequence[Table], before: float, room: float) -> tuple[tuple[bool, ...], ...]:
    """Of each table, which of its units begin a page.

    >>> page_starts([Table(head=20, row=8.2, units=(5, 5)), Table(head=20, row=8.2, units=(5, 9))], 10, 168)
    ((False, False), (True, False))
    """
    pages = [1, *(page for page, _ in _ends(tables, before, room))]
    begun = iter([page > last for last, page in pairwise(pages)])
    return tuple(tuple(islice(begun, len(table.units))) for table in tables)


def _ends(tables: Iterable[Table], before: float, room: float) -> Iterator[tuple[int, float]]:
    """The page on which each unit stands, and how far down it ends."""
    page, at = 1, before
    for table in tables:
        at += GAP + table.head
        for high in (unit * table.row for unit in table.units):
            if at + high > room - DOUBT:
                page, at = page + 1, table.head
            at += high
            yield page, at


def head_height(group: LogGroup, widths: Sequence[float], said: Callable[[Inlines], str], kind: HeadType) -> float:
    """Millimetres of the title of a group and of the heads of its columns.

    :param widths: of all columns, in mm.
    :param said: gives the words of inline content.
    """
    title = [*_words(group.title, TITLE_PT, BOLD)]
    for note in group.notes:
        title += _words(said(note), kind.note, PLAIN, NOTE_GAP + _space(TITLE_PT, BOLD))
    top = _lines(title, sum(widths)) * TITLE_PT * LEADING * MM_A_PT + TITLE_PADDING + THICK
    at, upper, lower, whole = 2, 0.0, 0.0, _cell((), kind, 2 * widths[0], "Unit")
    for channel in group.channels:
        own = widths[at : at + len(channel.write)]
        at += len(own)
        small = [said(line) for line in channel.says]
        upper = max(upper, _cell(small, kind, sum(own), channel_head(channel)) + THIN)
        heads = (_cell((), kind, wide, column.name, MEDIUM) for column, wide in zip(channel.write, own, strict=True))
        lower = max(lower, *heads)
    for column, wide in zip(group.write, widths[at:], strict=True):
        small = [said(column.says)] if column.says else []
        whole = max(whole, _cell(small, kind, wide, column.name, MEDIUM))
    return top + max(upper + lower, whole) + THICK


def channel_head(channel: LogChannel) -> str:
    """What is printed in bold over the columns of a channel."""
    return f"{channel.name}, {channel.unit}" if channel.unit else channel.name


def word_room(text: str, points: float, weight: int) -> float:
    """Millimetres of a column that the widest word of its head takes."""
    return max(width for _, width in _words(text, points, weight)) + PADDING + THICK


def before_height(lines: Iterable[str], width: float, kind: HeadType) -> float:
    """Millimetres of what is said above all groups, which flows on in one paragraph."""
    gap = SAY_GAP + _space(kind.text, PLAIN)
    told = [word for line in lines for word in _words(line, kind.text, PLAIN, gap)]
    return (_lines(told, width) * kind.text * LEADING_BEFORE * MM_A_PT if told else 0.0) + BEFORE_GAP


def lines_of(text: str, width: float, points: float, weight: int) -> int:
    """Lines of a text that breaks at its spaces; a word that is too wide by itself takes as many as it ever may."""
    return _lines(_words(text, points, weight), width)


def _words(text: str, points: float, weight: int, before: float = 0.0) -> Iterator[tuple[float, float]]:
    """Each word of a text: the space before it, and its width."""
    for word in text.split(" "):
        yield before, text_width(word, points * MM_A_PT, weight)
        before = _space(points, weight)


def _space(points: float, weight: int) -> float:
    return text_width(" ", points * MM_A_PT, weight)


def _lines(words: Iterable[tuple[float, float]], width: float) -> int:
    count, used = 1, 0.0
    for space, wide in words:
        if used and used + space + wide > width:
            count, used = count + 1, wide
        else:
            used += wide + (space if used else 0)
        count += int(wide / (width - LETTER)) if wide > width else 0
    return count


def row_height(lines: Iterable[LogLine], width: float, *, turned: bool) -> float:
    """Of all lines of a group, so that their picture fits; higher where a serial is long.

    :param width: of the column for unit and serial, in mm.
    """
    count = max((serial_lines(line.serial, width - PADDING, SERIAL_PT[turned]) for line in lines), default=1)
    return max(ROW_MM[turned], NAME_MM[turned] + SERIAL_MM[turned] * count)


def serial_lines(text: str, width: float, points: float) -> int:
    """Lines of a serial, which breaks anywhere where it must: whether or not it breaks at its hyphens first."""
    parted = text.replace("-", "- ").replace("/", "/ ")
    return max(lines_of(said, width / LARGER, points, PLAIN) for said in (text, parted))


def together(lines: Sequence[LogLine]) -> tuple[tuple[LogLine, ...], ...]:
    """The lines of each unit, and free ones after them, which stay on one page; where all are free, none are held."""
    if not any(line.unit for line in lines):
        return tuple((line,) for line in lines)
    return tuple(tuple(same) for _, same in groupby(lines, key=lambda line: line.unit))


def filled(units: Sequence[tuple[LogLine, ...]], rows: int) -> tuple[tuple[LogLine, ...], ...]:
    """The units of a group with as many free lines more as there is room for, like those at its end."""
    free = units[-1] if units and not units[-1][0].unit else ()
    if not free:
        return tuple(units)
    pattern = free if any(line.about for line in free) else free[:1]
    return (*units, *(pattern for _ in range(rows // len(pattern))))


def _cell(small: Sequence[str], kind: HeadType, width: float, name: str, weight: int = BOLD) -> float:
    room = max(width - PADDING - THICK, 1.0)
    high = lines_of(name, room, kind.text, weight) * kind.text
    high += sum(lines_of(line, room, kind.small, PLAIN) for line in small) * kind.small
    return high * LEADING * MM_A_PT + kind.padding
