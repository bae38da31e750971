"""Blank log sheets as PDF, on paper held lying; what is printed on them is measured as on cards."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from itertools import accumulate

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.fixed_words import ON_FORMS, fixed_words
from builder.pages.forms import LogSheet
from builder.pages.log_rows import LogColumn, LogGroup, LogLine
from builder.pages.numbers import spoken_figures
from builder.pages.plain import Words
from builder.pages.wording import Wording
from builder.program.languages import LANGUAGES, is_right_to_left
from builder.render import form_fill
from builder.render.card_pages import turned_css, turned_family
from builder.render.direction import turned_document
from builder.render.documents import Document, Made, figures_as_printed, make
from builder.render.form_columns import FIRST, REMARKS, Columns
from builder.render.form_rules import FormRules, column_runs, lines_picture, merged
from builder.render.formats import paper
from builder.render.imposition import FOOT, HEAD_OF_FORM, OVER_FOOT, Sheet, whole_page
from builder.render.jobs import Job, job
from builder.render.markup import sheet_marker
from builder.render.pdf import PdfEngine
from builder.render.sheet_marks import EDGE
from builder.render.templates import fill, stylesheet

MS_A_SHEET, MS_A_LINE = 120.0, 25.0
"""Estimate of the time that a log sheet takes."""
PRINTED = ("verdict", "alarms", "blocked")
"""Kinds of columns in which words are printed: to be ringed, or seconds to be counted."""
SIGNED_LEFT = 149.0
"""Where the boxes to sign in begin, right of the foot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """A group with the columns it is set in."""

    group: LogGroup
    widths: tuple[float, ...]
    """Of all columns, in millimetres."""
    columns: tuple[tuple[float, int], ...]
    """The same, and how many side by side are as wide."""
    cells: tuple[tuple[str, int], ...]
    """What stands in a line already after its unit, and over how many columns."""
    drawn: Callable[[int], str]
    """Gives the address of the picture of so many lines."""
    head: float
    """Height of its title and heads, in millimetres."""
    row: float
    """Height of each line, in millimetres."""
    most: int
    """Lines that a page never has more of."""
    units: tuple[tuple[LogLine, ...], ...]
    """The lines of each unit, which stay together; those without unit at the end."""
    starts: tuple[bool, ...] = ()
    """Which of them surely begin a page."""

    @property
    def table(self) -> form_fill.Table:
        """The group as it is counted."""
        return form_fill.Table(head=self.head, row=self.row, units=tuple(map(len, self.units)))

    @property
    def rows(self) -> int:
        """Lines that the picture is to have: those of the longest part of the table that stands on one page."""
        return min(self.most, sum(map(len, self.units)))


def form_job(sheet: LogSheet, figures: Mapping[str, Figure]) -> Job[Made]:
    """A log sheet as a job."""
    cost = MS_A_SHEET + MS_A_LINE * sum(len(group.lines) for group in sheet.groups)
    return job("log sheets", cost, _render, sheet, figures_as_printed(figures, sheet.figures))


def _render(engine: PdfEngine, sheet: LogSheet, figures: Mapping[str, Figure]) -> Made:
    return make(engine, form_document(sheet, figures, drawn=engine.lays_out))


def form_document(sheet: LogSheet, figures: Mapping[str, Figure], *, drawn: bool = True) -> Document:
    """A log sheet, ready to be laid out.

    :param drawn: whether it has lines and blank cells, which who only reads does not need.
    :raises RenderError: for an unknown figure or paper, or columns that the paper cannot hold.
    """
    says, name = _words(sheet), f"log sheet {sheet.id} ({sheet.language})"
    try:
        groups = _groups(sheet, figures)
        html = _html(sheet, groups, figures, drawn=drawn)
    except RenderError as error:
        raise RenderError(f"{name}: {error}") from error
    return Document(
        name=name,
        html=html,
        css=(
            stylesheet("forms.css"),
            _page_css(whole_page(paper(sheet.paper)), says["leaf"], form_fill.ROW_MM[is_right_to_left(sheet.language)]),
            *turned_css(sheet.language, "forms-rtl.css"),
        ),
        title=_title(sheet, says),
        language=sheet.language,
        second=turned_family(sheet.language),
        rules=FormRules(name, tuple(group.row for group in groups)),
    )


def _html(sheet: LogSheet, groups: Sequence[_Group], figures: Mapping[str, Figure], *, drawn: bool) -> str:
    says, turned = _words(sheet), is_right_to_left(sheet.language)
    made = fill(
        "forms/sheet.html",
        turned=turned,
        comma=LANGUAGES[sheet.language].comma,
        sheet=sheet,
        groups=groups,
        usual=form_fill.ROW_MM[turned],
        drawn=drawn,
        title=_title(sheet, says),
        at=sheet_marker(figures, sheet.language, f"log sheet {sheet.id}"),
        words=says,
    )
    return turned_document(made, sheet.language)


# ---- rows ----


def _groups(sheet: LogSheet, figures: Mapping[str, Figure]) -> tuple[_Group, ...]:
    """The groups, the last with free lines down to the foot of its last page."""
    turned, place = is_right_to_left(sheet.language), whole_page(paper(sheet.paper)).fronts[0]
    said, kind = Words(spoken_figures(figures, sheet.language)).inline, form_fill.TYPES[turned]
    columns = Columns(width=place.width, said=said, type=kind)
    remarks = LogColumn(kind=REMARKS, name=_words(sheet)["remarks"])
    whole = (replace(group, write=(*group.write, remarks)) for group in sheet.groups)
    groups = [_group(group, columns, place.height, turned) for group in columns.parted(whole)]
    before = form_fill.before_height((said(line) for line in sheet.says), place.width, kind)
    before += form_fill.ASKED_MM if sheet.asks else 0.0
    rows = form_fill.free_rows([made.table for made in groups], before, place.height)
    groups[-1] = replace(groups[-1], units=form_fill.filled(groups[-1].units, rows))
    starts = form_fill.page_starts([made.table for made in groups], before, place.height)
    return tuple(replace(group, starts=found) for group, found in zip(groups, starts, strict=True))


def _group(group: LogGroup, columns: Columns, high: float, turned: bool) -> _Group:
    widths = columns.widths(group)
    printed = [column.kind if column.kind in PRINTED else "" for column in group.write]
    ends = [len(FIRST) - 1 + count for count in accumulate(len(one.write) for one in group.channels)]
    readings = [""] * (len(widths) - len(FIRST) - len(group.write))
    kinds = [*[""] * len(FIRST), *readings, *(column.kind for column in group.write)]
    row = form_fill.row_height(group.lines, FIRST[0], turned=turned)
    return _Group(
        group=group,
        widths=widths,
        columns=column_runs(widths),
        cells=merged(["", *readings, *printed]),
        drawn=partial(lines_picture, widths, ends, kinds, row=row, turned=turned),
        head=form_fill.head_height(group, widths, columns.said, columns.type),
        row=row,
        most=int(high // row),
        units=form_fill.together(group.lines),
    )


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
