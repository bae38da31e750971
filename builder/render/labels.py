"""Labels as PDF: each at the millimetres of its sheet, what is on it measured, and a page to try the printer with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from builder.base.errors import FitError, RenderError
from builder.figures.figure import Figure
from builder.pages.labels import Label, LabelGrid, LabelPages
from builder.render.boxes import Side, sides_of
from builder.render.card_pages import page_css, words_for
from builder.render.fit import contrasts, crossings, losses, sizes, strays
from builder.render.formats import Paper, Place, paper
from builder.render.imposition import GAUGE_MM
from builder.render.markup import Marker
from builder.render.pdf import PdfEngine
from builder.render.templates import fill, stylesheet, templates_folder

SAFE_MM = 1.5
"""Nothing is printed nearer than this to the edge of a label: printers feed paper that inexactly."""
TYPE_PT, USUAL_MM = 8.0, (63.5, 38.1)
"""Type on a label of the usual size; on others it grows and shrinks with them."""
LEAST_SHARE, MOST_SHARE = 0.9, 1.8
BAR_LEFT = 10.0
BAR_ROOM = 8.0
"""A margin of the sheet holds the bar when it is at least this high."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelWords:
    """What the builder itself says on sheets of labels, in one language."""

    serial: str
    bar: str
    gauge: str
    trial: str


WORDS = {
    "en": LabelWords(
        serial="Serial",
        bar="A bar of 50 mm, and on the last page the labels' outlines",
        gauge="This bar is 50 mm. If it measures otherwise, the sheet was scaled: print again at 100 %.",
        trial="Print this page on plain paper and hold it against a sheet of labels.",
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedLabels:
    """The PDF of all labels on one kind of sheet."""

    path: str
    pdf: bytes
    pages: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    label: Label
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class _Page:
    cells: tuple[_Cell, ...]
    bar: str
    """Strokes of the bar, or of bar and outlines; empty where there is no room for one."""
    say: str
    say_left: float
    say_top: float


def places(grid: LabelGrid) -> tuple[Place, ...]:
    """Where the labels of one sheet lie, row by row.

    :raises RenderError: when the grid leaves the paper.
    """
    sheet = paper(grid.paper)
    made = tuple(
        Place(
            left=round(grid.left + column * (grid.width + grid.gap_x), 4),
            top=round(grid.top + row * (grid.height + grid.gap_y), 4),
            width=grid.width,
            height=grid.height,
        )
        for row in range(grid.rows)
        for column in range(grid.columns)
    )
    last = made[-1]
    beyond = max(last.left + last.width - sheet.width, last.top + last.height - sheet.height)
    if beyond > 0.001:  # noqa: PLR2004 - a thousandth of a millimetre
        raise RenderError(f"label sheet {grid.id}: its grid leaves {grid.paper} paper by {beyond:.1f} mm")
    return made


def render_labels(sheets: Sequence[LabelPages], figures: Mapping[str, Figure]) -> list[RenderedLabels]:
    """One PDF a kind of sheet.

    :raises FitError: with the unit and the millimetres of every text that does not fit its label.
    :raises RenderError: when the engine cannot set a sheet faithfully.
    """
    made: list[RenderedLabels] = []
    faults: list[str] = []
    with PdfEngine((templates_folder(),)) as engine:
        for pages in sheets:
            sheet = paper(pages.grid.paper)
            css = (stylesheet("labels.css"), page_css(sheet.width, sheet.height), _sheet_css(sheet, pages.grid))
            document = engine.document(labels_html(pages, figures), css)
            found = tuple(label_faults(pages, sides_of(document)))
            faults += found
            if not found:
                pdf = engine.write(document, _title(pages), pages.language)
                made.append(RenderedLabels(path=pages.path, pdf=pdf, pages=len(document.pages)))
    if faults:
        raise FitError(faults)
    return made


def label_faults(pages: LabelPages, laid: Sequence[Side]) -> Iterator[str]:
    """Every label that is missing, and what on a label is lost, outside it, too small, too pale or overprinted."""
    count = {label.unit: 0 for label in pages.labels}
    for side in laid:
        count[side.card] = count.get(side.card, 0) + 1
        rules = (losses(side), strays(side, SAFE_MM), sizes(side), contrasts(side), crossings(side))
        for fault in dict.fromkeys(fault for rule in rules for fault in rule):
            yield f"label {side.card} on sheet {pages.grid.id}: {fault}"
    for unit, times in count.items():
        if times != 1:
            yield f"label {unit} on sheet {pages.grid.id}: laid out {times} times"


def labels_html(pages: LabelPages, figures: Mapping[str, Figure]) -> str:
    """The document of all sheets.

    :raises RenderError: for an unknown figure, paper or language, or a grid that leaves the paper.
    """
    sheet = paper(pages.grid.paper)
    return fill(
        "labels/sheet.html",
        language=pages.language,
        title=_title(pages),
        pages=tuple(_pages(pages)),
        width=sheet.width,
        height=sheet.height,
        at=Marker(figures, lambda _target: "", page=f"label sheet {pages.grid.id}", paper=True),
        words=words_for(pages.language),
        says=_words(pages.language),
    )


def _pages(pages: LabelPages) -> Iterator[_Page]:
    grid, spots = pages.grid, places(pages.grid)
    says, sheet = _words(pages.language), paper(pages.grid.paper)
    at = _bar_top(grid, sheet)
    for start in range(0, len(pages.labels), len(spots)):
        part = pages.labels[start : start + len(spots)]
        cells = tuple(_Cell(label=label, place=place) for label, place in zip(part, spots, strict=False))
        bar = bar_path(at) if at else ""
        yield _Page(cells=cells, bar=bar, say=says.gauge, say_left=BAR_LEFT + GAUGE_MM + 2, say_top=at - 1.7)
    middle = sheet.height / 2
    say = f"{says.trial} {says.gauge}"
    yield _Page(cells=(), bar=outlines(spots) + bar_path(middle), say=say, say_left=BAR_LEFT, say_top=middle + 3)


def _bar_top(grid: LabelGrid, sheet: Paper) -> float:
    """How far down the bar stands in the margin above or below the labels; 0 where neither holds it."""
    below = sheet.height - grid.top - grid.rows * grid.height - (grid.rows - 1) * grid.gap_y
    if grid.top >= BAR_ROOM:
        return grid.top - BAR_ROOM / 2
    return sheet.height - below + BAR_ROOM / 2 if below >= BAR_ROOM else 0.0


def bar_path(top: float) -> str:
    """A line of 50 mm between two ticks."""
    ends = "".join(f"M{x:g} {top - 2:.3f}v4" for x in (BAR_LEFT, BAR_LEFT + GAUGE_MM))
    return f"M{BAR_LEFT:g} {top:.3f}h{GAUGE_MM:g}{ends}"


def outlines(spots: Sequence[Place]) -> str:
    """The edges of all labels as one SVG path in millimetres."""
    return "".join(f"M{at.left:g} {at.top:g}h{at.width:g}v{at.height:g}h{-at.width:g}z" for at in spots)


def _words(language: str) -> LabelWords:
    base = language.partition("-")[0].lower()
    if base not in WORDS:
        raise RenderError(f"no wording of labels for language {language!r}; allowed: {', '.join(WORDS)}")
    return WORDS[base]


def _title(pages: LabelPages) -> str:
    draft = f" ({words_for(pages.language).draft})" if pages.draft else ""
    return f"Labels, sheet {pages.grid.id}{draft}"


def _sheet_css(sheet: Paper, grid: LabelGrid) -> str:
    size = f"width: {sheet.width}mm; height: {sheet.height}mm"
    return f".sheet, .sheet svg {{ {size} }} .label {{ font-size: {type_size(grid):.2f}pt }}"


def type_size(grid: LabelGrid) -> float:
    """Points of the type: as large as the label lets it be, and never too small to be read."""
    share = min(grid.width / USUAL_MM[0], grid.height / USUAL_MM[1])
    return TYPE_PT * min(MOST_SHARE, max(LEAST_SHARE, share))
