"""Blank log sheets as PDF, on paper held lying; what is printed on them is measured as on cards."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import accumulate, groupby

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.fixed_words import ON_FORMS, fixed_words
from builder.pages.forms import LogSheet
from builder.pages.log_rows import LogChannel, LogColumn, LogGroup, LogLine
from builder.pages.numbers import spoken_figures
from builder.pages.plain import Words
from builder.pages.wording import Wording
from builder.program.languages import LANGUAGES, is_right_to_left
from builder.render.card_pages import turned_css, turned_family
from builder.render.direction import turned_document
from builder.render.documents import Document, Made, figures_as_printed, make
from builder.render.form_faults import FormRules
from builder.render.form_fill import (
    ROW_MM,
    TYPES,
    Table,
    before_height,
    filled,
    free_rows,
    head_height,
    page_starts,
    row_height,
)
from builder.render.form_rules import column_runs, lines_picture, merged
from builder.render.formats import paper
from builder.render.imposition import FOOT, HEAD_OF_FORM, OVER_FOOT, Sheet, whole_page
from builder.render.jobs import Job, job
from builder.render.markup import Marker
from builder.render.pdf import PdfEngine
from builder.render.sheet_marks import EDGE
from builder.render.templates import fill, stylesheet

MS_A_SHEET, MS_A_LINE = 120.0, 25.0
"""Estimate of the time that a log sheet takes."""
FIRST = (30.0, 23.0)
"""Widths of the columns for unit with serial, and for time, in millimetres."""
LAST = {
    "lot": 15.0,
    "last": 15.0,
    "by": 13.0,
    "verdict": 16.0,
    "alarms": 20.0,
    "blocked": 15.5,
    "set": 14.5,
    "tick": 16.0,
    "next": 15.0,
}
"""Widths of the last columns by kind; one that is not named takes what is left."""
LAST_ALONE = {**LAST, "blocked": 32.0, "tick": 26.0}
"""The same where nothing is read from a display."""
READING_LEAST, READING_MOST, CHANNEL_MOST = 8.5, 33.0, 36.0
"""A column for one reading is at least this wide, and at most as wide as one reading or one channel needs."""
CHANNEL_LEAST = 17.0
"""A channel has to hold its name, window and alarms, even with one column."""
PRINTED = ("verdict", "alarms", "blocked")
"""Kinds of columns in which words are printed: to be ringed, or seconds to be counted."""
REMARKS_LEAST = 19.0
"""Every sheet has a column for remarks, at least this wide."""
SIGNED_LEFT = 149.0
"""Where the boxes to sign in begin, right of the foot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """A group with the columns it is set in."""

    group: LogGroup
    write: tuple[LogColumn, ...]
    """Heads of the last columns."""
    widths: tuple[float, ...]
    """Of all columns, in millimetres."""
    columns: tuple[tuple[float, int], ...]
    """The same, and how many side by side are as wide."""
    cells: tuple[tuple[str, int], ...]
    """What stands in a line already after its unit, and over how many columns."""
    drawn: Callable[[int], str]
    """Gives the address of the picture of so many lines."""
    row: float
    """Height of each line, in millimetres."""
    most: int
    """Lines that a page never has more of."""
    units: tuple[tuple[LogLine, ...], ...]
    """The lines of each unit, which stay together; those without unit at the end."""
    starts: tuple[bool, ...] = ()
    """Which of them surely begin a page."""

    @property
    def rows(self) -> int:
        """Lines that the picture is to have: those of the longest part of the table that stands on one page."""
        return min(self.most, sum(map(len, self.units)))


def form_job(sheet: LogSheet, figures: Mapping[str, Figure]) -> Job[Made]:
    """A log sheet as a job."""
    cost = MS_A_SHEET + MS_A_LINE * sum(len(group.lines) for group in sheet.groups)
    return job("log sheets", cost, _render, sheet, figures_as_printed(figures, sheet.figures))


def _render(engine: PdfEngine, sheet: LogSheet, figures: Mapping[str, Figure]) -> Made:
    return make(engine, form_document(sheet, figures))


def form_document(sheet: LogSheet, figures: Mapping[str, Figure]) -> Document:
    """A log sheet, ready to be laid out.

    :raises RenderError: for an unknown figure or paper, or columns that the paper cannot hold.
    """
    says, name = _words(sheet), _sheet_name(sheet)
    try:
        groups = _groups(sheet, figures)
        html = _html(sheet, groups, figures)
    except RenderError as error:
        raise RenderError(f"{name}: {error}") from error
    return Document(
        name=name,
        html=html,
        css=(
            stylesheet("forms.css"),
            _page_css(whole_page(paper(sheet.paper)), says["leaf"], ROW_MM[is_right_to_left(sheet.language)]),
            *turned_css(sheet.language, "forms-rtl.css"),
        ),
        title=_title(sheet, says),
        language=sheet.language,
        second=turned_family(sheet.language),
        rules=FormRules(name, tuple(group.row for group in groups)),
    )


def _sheet_name(sheet: LogSheet) -> str:
    """How faults name a sheet: its id and language."""
    return f"log sheet {sheet.id} ({sheet.language})"


def form_html(sheet: LogSheet, figures: Mapping[str, Figure]) -> str:
    """The document of one log sheet.

    :raises RenderError: for an unknown figure or paper, or columns that the paper cannot hold.
    """
    return _html(sheet, _groups(sheet, figures), figures)


def _html(sheet: LogSheet, groups: Sequence[_Group], figures: Mapping[str, Figure]) -> str:
    says, turned = _words(sheet), is_right_to_left(sheet.language)
    made = fill(
        "forms/sheet.html",
        turned=turned,
        comma=LANGUAGES[sheet.language].comma,
        sheet=sheet,
        groups=groups,
        usual=ROW_MM[turned],
        title=_title(sheet, says),
        at=Marker(
            spoken_figures(figures, sheet.language),
            lambda _target: "",
            page=f"log sheet {sheet.id}",
            paper=True,
            unmarked=not turned,
            language=sheet.language,
        ),
        words=says,
    )
    return turned_document(made, sheet.language)


# ---- rows ----


def _groups(sheet: LogSheet, figures: Mapping[str, Figure]) -> tuple[_Group, ...]:
    """The groups, the last with free lines down to the foot of its last page."""
    page, remarks, turned = whole_page(paper(sheet.paper)), _words(sheet)["remarks"], is_right_to_left(sheet.language)
    groups = [_group(group, page, remarks, turned) for group in _parted(sheet, page)]
    said, place = Words(spoken_figures(figures, sheet.language)).inline, page.fronts[0]
    tables, kind = [], TYPES[turned]
    for made in groups:
        last = [f"{column.name}\n{said(column.says) if column.says else ''}" for column in made.write]
        head = head_height(made.group, made.widths, said, last, kind)
        tables.append(Table(head=head, row=made.row, units=tuple(len(unit) for unit in made.units)))
    before = before_height((said(line) for line in sheet.says), place.width, kind)
    if not all(table.units for table in tables):
        return tuple(groups)
    rows = free_rows(tables, before, place.height)
    groups[-1] = replace(groups[-1], units=filled(groups[-1].units, rows))
    starts = page_starts(tables, before, place.height)
    return tuple(replace(group, starts=found) for group, found in zip(groups, starts, strict=True))


# ---- columns -----------------------------------------------------------------------


def _group(group: LogGroup, page: Sheet, remarks: str, turned: bool) -> _Group:
    """The columns of a group: the readings share what the fixed ones leave, and what they leave is for remarks."""
    usual = LAST if group.channels else LAST_ALONE
    last = [usual.get(column.kind, 0.0) for column in group.write]
    room = page.fronts[0].width - sum(FIRST) - sum(last) - REMARKS_LEAST
    readings = _readings(group, room)
    left = room - sum(readings) + REMARKS_LEAST
    free = last.count(0.0) + 1
    last = [width or left / free for width in (*last, 0.0)]
    widths = tuple(round(width, 3) for width in (*FIRST, *readings, *last))
    printed = [column.kind if column.kind in PRINTED else "" for column in group.write]
    ends = [len(FIRST) - 1 + columns for columns in accumulate(len(one.write) for one in group.channels)]
    write = (*group.write, LogColumn(kind="remarks", name=remarks))
    kinds = [*[""] * (len(FIRST) + len(readings)), *(column.kind for column in write)]
    row = row_height(group.lines, FIRST[0], turned=turned)
    return _Group(
        group=group,
        write=write,
        widths=widths,
        columns=column_runs(widths),
        cells=merged(["", *[""] * len(readings), *printed, ""]),
        drawn=partial(lines_picture, widths, ends, kinds, row=row, turned=turned),
        row=row,
        most=int(page.fronts[0].height // row),
        units=tuple(tuple(same) for _, same in groupby(group.lines, key=lambda line: line.unit)),
    )


def _parted(sheet: LogSheet, page: Sheet) -> Iterator[LogGroup]:
    """The groups of a sheet; one with more channels than the paper holds beside each other in parts, one below another.

    What is filled in once a line stands in the last part.
    """
    for group in sheet.groups:
        width = page.fronts[0].width - sum(FIRST) - REMARKS_LEAST
        last = sum(LAST.get(column.kind, 0.0) for column in group.write)
        if not group.channels or sum(map(_least, group.channels)) + last <= width:
            yield group
            continue
        parts: list[list[LogChannel]] = [[]]
        for channel in group.channels:
            if parts[-1] and sum(map(_least, (*parts[-1], channel))) + last > width:
                parts.append([])
            parts[-1].append(channel)
        for number, part in enumerate(parts, start=1):
            title = f"{group.title} · {number}/{len(parts)}"
            write = group.write if number == len(parts) else ()
            yield replace(group, title=title, channels=tuple(part), write=write)


def _least(channel: LogChannel) -> float:
    return max(CHANNEL_LEAST, READING_LEAST * len(channel.write))


def _readings(group: LogGroup, room: float) -> list[float]:
    """Widths of the columns for readings, channel by channel.

    :raises RenderError: when the paper cannot hold them.
    """
    least = [_least(channel) for channel in group.channels]
    if sum(least) > room:
        count = sum(len(channel.write) for channel in group.channels)
        need = f"{count} columns for readings need {sum(least):.1f} mm, of which the paper has {room:.1f} mm"
        raise RenderError(f"{need}: {group.title}; forms.yaml can keep checks separate")
    most = [min(CHANNEL_MOST, READING_MOST * len(channel.write)) for channel in group.channels]
    share = min(1.0, (room - sum(least)) / (sum(most) - sum(least) or 1))
    widths = [low + (high - low) * share for low, high in zip(least, most, strict=True)]
    return [
        width / len(channel.write) for channel, width in zip(group.channels, widths, strict=True) for _ in channel.write
    ]


# ---- page --------------------------------------------------------------------------


def _page_css(page: Sheet, page_word: str, row: float) -> str:
    counter = f'content: "{page_word} " counter(page) " / " counter(pages); font-size: 7.4pt'
    top = EDGE + HEAD_OF_FORM
    return (
        f"@page {{ size: {page.width}mm {page.height}mm; margin: {top}mm {EDGE}mm {FOOT}mm; "
        f"@top-left {{ content: element(head); width: 100%; vertical-align: top; padding-top: {EDGE}mm }} "
        f"@bottom-left {{ content: element(foot); width: {SIGNED_LEFT - EDGE - 4}mm; vertical-align: top;"
        f" padding-top: {OVER_FOOT}mm }} "
        f"@bottom-right {{ {counter}; vertical-align: bottom; padding-bottom: 4mm }} }}"
        f".signed {{ left: {SIGNED_LEFT - EDGE}mm; width: {page.width - EDGE - SIGNED_LEFT}mm;"
        f" bottom: {7.7 - FOOT:.1f}mm }}"
        f" tbody tr {{ height: {row}mm }}"
    )


def _words(sheet: LogSheet) -> dict[str, str]:
    return fixed_words(ON_FORMS, Wording(language=sheet.language))


def _title(sheet: LogSheet, says: Mapping[str, str]) -> str:
    draft = f" ({says['draft']})" if sheet.draft else ""
    return f"{says['kind']}: {sheet.title}, {sheet.place}{draft}"
