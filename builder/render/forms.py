"""Blank log sheets as PDF, on paper held lying; what is printed on them is measured as on cards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from builder.base.errors import FitError, RenderError
from builder.figures.figure import Figure
from builder.pages.forms import LogChannel, LogGroup, LogSheet
from builder.render.boxes import Side, sides_of
from builder.render.card_pages import words_for
from builder.render.cards import spread
from builder.render.fit import contrasts, crossings, losses, sizes, strays
from builder.render.formats import Paper, paper
from builder.render.markup import INVENTED, Marker
from builder.render.pdf import PdfEngine
from builder.render.templates import fill, stylesheet, templates_folder

EDGE = 10.0
"""Free on every side of the paper, in millimetres."""
FOOT = 17.0
"""Free below the table, for the foot."""
CHUNK = 8
"""Sheets a worker takes at a time."""
FIRST = (17.0, 26.0, 24.0)
"""Widths of the columns for unit, serial and time, in millimetres."""
CYLINDER = 15.0
LAST = {"By": 16.0, "Pass or fail": 15.0, "All alarms after": 17.0, "Alarm when blocked": 32.0}
"""Widths of the last columns; one that is not named takes what is left."""
READING_LEAST, READING_MOST, CHANNEL_MOST = 9.0, 33.0, 34.0
"""A column for one reading is at least this wide, and at most as wide as one reading or one channel needs."""
REMARKS_LEAST = 22.0
"""From so much room left on there is a column for remarks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormWords:
    """What the builder itself says on log sheets, in one language."""

    kind: str
    month: str
    page: str
    unit: str
    serial: str
    time: str
    cylinder: str
    passes: str
    alarms: str
    remarks: str
    leaf: str
    prevail: str


WORDS = {
    "en": FormWords(
        kind="Log sheet",
        month="Month and year",
        page="Sheet no.",
        unit="Unit",
        serial="Serial",
        time="Day and time",
        cylinder="Cylinder",
        passes="Passes:",
        alarms="Alarms:",
        remarks="Remarks",
        leaf="page",
        prevail="The instrument’s manual and local rules prevail.",
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedForm:
    """The PDF of a log sheet."""

    path: str
    pdf: bytes
    pages: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    unit: str
    serial: str
    cylinder: str
    last: bool
    """Whether it is the last line of its unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """A group with the columns it is set in."""

    title: str
    channels: tuple[LogChannel, ...]
    write: tuple[str, ...]
    widths: tuple[float, ...]
    """Of all columns, in millimetres."""
    lines: tuple[_Line, ...]
    cylinder_column: bool


@dataclass(frozen=True, slots=True)
class _Job:
    sheet: LogSheet
    figures: dict[str, Figure]


def render_forms(sheets: Sequence[LogSheet], figures: Mapping[str, Figure], jobs: int = 1) -> list[RenderedForm]:
    """One PDF a log sheet; ``jobs`` processes share the work and do not change a byte.

    :raises FitError: when a text does not fit its column, with the sheet and the millimetres.
    :raises RenderError: when the engine cannot set a sheet faithfully.
    """
    work = [_Job(sheet, {key: figures[key] for key in sheet.figures if key in figures}) for sheet in sheets]
    done = spread(_render_part, [work[at : at + CHUNK] for at in range(0, len(work), CHUNK)], jobs)
    faults = [one for part in done for one in part if isinstance(one, str)]
    if faults:
        raise FitError(faults)
    return [one for part in done for one in part if isinstance(one, RenderedForm)]


def _render_part(part: Sequence[_Job]) -> list[RenderedForm | str]:
    with PdfEngine((templates_folder(),)) as engine:
        return [made for job in part for made in _render(engine, job)]


def _render(engine: PdfEngine, job: _Job) -> Iterator[RenderedForm | str]:
    sheet = job.sheet
    try:
        css = (stylesheet("forms.css"), _page_css(sheet.paper, _words(sheet.language).leaf))
        document = engine.document(form_html(sheet, job.figures), css)
        faults = tuple(form_faults(sheet, sides_of(document)))
        if faults:
            yield from faults
            return
        pdf = engine.write(document, _title(sheet), sheet.language)
    except RenderError as error:
        raise RenderError(f"log sheet {sheet.id}: {error}") from error
    yield RenderedForm(path=sheet.path, pdf=pdf, pages=len(document.pages))


def form_faults(sheet: LogSheet, pages: Sequence[Side]) -> Iterator[str]:
    """What is lost, too small, too pale or outside its column on a laid-out sheet, each with its page."""
    if not pages:
        yield f"log sheet {sheet.id}: was not laid out"
        return
    whole = replace(pages[0], inks=tuple(ink for side in pages for ink in side.inks))
    found = [f"log sheet {sheet.id}: {fault}" for fault in losses(whole)]
    for side in pages:
        faults = (*strays(side, 0), *sizes(side), *contrasts(side), *crossings(side))
        found += [f"log sheet {sheet.id}, page {side.page}: {fault}" for fault in faults]
    yield from dict.fromkeys(found)


def form_html(sheet: LogSheet, figures: Mapping[str, Figure]) -> str:
    """The document of one log sheet.

    :raises RenderError: for an unknown figure, paper or language, or columns that the paper cannot hold.
    """
    says = _words(sheet.language)
    return fill(
        "forms/sheet.html",
        sheet=sheet,
        groups=tuple(_group(group, sheet, says) for group in sheet.groups),
        title=_title(sheet),
        at=Marker(figures, lambda _target: "", page=f"log sheet {sheet.id}", paper=True),
        words=words_for(sheet.language),
        says=says,
        prevail=says.prevail,
        invented=INVENTED,
    )


def _group(group: LogGroup, sheet: LogSheet, says: FormWords) -> _Group:
    """The columns of a group: the readings share what the fixed ones leave, and what they leave is for remarks."""
    cylinder = any(line.cylinder for line in group.lines)
    fixed = (*FIRST, *((CYLINDER,) if cylinder else ()))
    last = {name: LAST.get(name, 0.0) for name in group.write}
    room = _lying(sheet.paper).width - 2 * EDGE - sum(fixed) - sum(last.values())
    readings = [min(READING_MOST, CHANNEL_MOST / len(one.write)) for one in group.channels for _ in one.write]
    if sum(readings) > room:
        readings = [room / len(readings)] * len(readings)
    if readings and readings[0] < READING_LEAST:
        raise RenderError(f"{len(readings)} columns for readings do not fit on {sheet.paper} paper: {group.title}")
    left = room - sum(readings)
    if 0.0 in last.values():
        last = {name: width or left / list(last.values()).count(0.0) for name, width in last.items()}
    elif left >= REMARKS_LEAST:
        last[says.remarks] = left
    return _Group(
        title=group.title,
        channels=group.channels,
        write=tuple(last),
        widths=tuple(round(width, 3) for width in (*fixed, *readings, *last.values())),
        lines=tuple(_lines(group)),
        cylinder_column=cylinder,
    )


def _lines(group: LogGroup) -> Iterator[_Line]:
    after = (*(line.unit for line in group.lines[1:]), "")
    for line, unit in zip(group.lines, after, strict=True):
        last = line.unit not in ("", unit)
        yield _Line(unit=line.unit, serial=line.serial, cylinder=line.cylinder, last=last)


def _lying(name: str) -> Paper:
    """A paper with its long edge at the top."""
    upright = paper(name)
    return replace(upright, width=upright.height, height=upright.width)


def _page_css(name: str, page_word: str) -> str:
    sheet = _lying(name)
    counter = f'content: "{page_word} " counter(page) " / " counter(pages); font-size: 7.4pt; vertical-align: top'
    return (
        f"@page {{ size: {sheet.width}mm {sheet.height}mm; margin: {EDGE}mm {EDGE}mm {FOOT}mm; "
        f"@bottom-left {{ content: element(foot); width: 88%; vertical-align: top }} "
        f"@bottom-right {{ {counter} }} }}"
    )


def _words(language: str) -> FormWords:
    base = language.partition("-")[0].lower()
    if base not in WORDS:
        raise RenderError(f"no wording of log sheets for language {language!r}; allowed: {', '.join(WORDS)}")
    return WORDS[base]


def _title(sheet: LogSheet) -> str:
    draft = f" ({words_for(sheet.language).draft})" if sheet.draft else ""
    return f"{_words(sheet.language).kind}: {sheet.title}, {sheet.place}{draft}"
