"""A chart as SVG: told apart by dash, marker and the name at its end, never by colour; the same text every time."""

from collections.abc import Callable, Iterator, Mapping
from html import escape

from builder.base.errors import RenderError
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.blocks import Chart
from builder.render.arabic import has_arabic, text_width
from builder.render.direction import RUN
from builder.render.fonts import FAMILY
from builder.render.plot import ASCENT, BESIDE, BOLD, LINE, ChartLabel, PlacedLabel, Plot, Size, plot_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Inks of a medium."""

    ink: str
    ground: str
    """Inside of hollow markers."""
    faint: str
    """Grid lines: more attributes of a stroke."""
    decimal: str = "."
    """What parts whole and decimals of the numbers at the axes."""


SCREEN = Look(ink="currentColor", ground="none", faint='stroke="currentColor" stroke-opacity="0.22"')
"""Takes the colour of the text around it, light or dark; the page's style sheet fills hollow markers."""
PAPER = Look(ink="#111", ground="#fff", faint='stroke="#bbb"')
PAGE = Size(width=92, height=62, text=3.2)
"""On a page: as narrow as a telephone shows without being pushed. 3.2 mm are 9 pt on paper."""
BOOK = Size(width=130, height=62, text=3.2)
"""In a book."""
BOOK_LADDER = Size(width=130, height=50, text=3.2)
"""The same without a line to follow along."""
STYLES: tuple[tuple[str, str, bool], ...] = (
    ("", "disc", True),
    ("2.2 1.1", "square", False),
    ("0.5 0.9", "triangle", True),
    ("3.4 0.9 0.5 0.9", "diamond", False),
    ("4.6 1.3", "square", True),
    ("1.1 1.1", "disc", False),
    ("3.4 0.9 0.5 0.9 0.5 0.9", "diamond", True),
    ("2.2 0.7 1.1 0.7", "triangle", False),
)
"""Dash, shape of the marker and whether it is filled, for each line in turn; no two share dash or marker."""
MARKS: dict[str, tuple[str, str, bool]] = {
    "limit": ("", "disc", True),
    "alarm": ("1.4 0.9", "square", False),
    "fire": ("3.4 0.9 0.5 0.9", "triangle", True),
}
HAIR, FINE, BROAD = 0.15, 0.22, 0.45
RADIUS = 0.34
"""Of a marker, over the type size."""
SHAPES = {
    "square": ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)),
    "triangle": ((0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)),
    "diamond": ((0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)),
    "arrow": ((0.0, -1.8), (1.1, 0.2), (-1.1, 0.2)),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """A line of type in a picture, in its millimetres."""

    words: str
    part: str
    """What it belongs to, as in ``x-tick``."""
    x: float
    y: float
    """Of the baseline."""
    anchor: str = "start"
    """What of the line stands at ``x``: ``start``, ``middle`` or ``end``."""
    weight: int = 400


def chart_svg(chart: Chart, figures: Mapping[str, Figure], size: Size, look: Look, name: str) -> str:
    """The picture; its ids begin with ``name``, which the document holds once.

    :raises RenderError: as ``plot_of``, and for more lines than can be told apart.
    """
    return plot_svg(chart, plot_of(chart, figures, size), look, name)


def plot_svg(
    chart: Chart, plot: Plot, look: Look, name: str, printed: Callable[[Caption], bool] = lambda _: True
) -> str:
    """The picture of a chart that is laid out already, with those of its captions that are ``printed``.

    :raises RenderError: for more lines than can be told apart.
    """
    if max(one.style for one in plot.placed) >= len(STYLES):
        raise RenderError(f"chart {chart.title!r} has more than {len(STYLES)} lines, which nobody can tell apart")
    name = escape(name)
    named = f'role="img" aria-labelledby="{name}-title {name}-desc"'
    width, height = _n(plot.width), _n(plot.height)
    sized = f'viewBox="0 0 {width} {height}" width="{width}mm" height="{height}mm"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {named} {sized}>',
        f'<title id="{name}-title">{escape(chart.title)}</title>',
        f'<desc id="{name}-desc">{escape(chart.description)}</desc>',
        *_grid(plot, look),
        _axes(plot, look),
        *(_text(one, plot, look) for one in _on_axes(plot, look) if printed(one)),
        *(_upright(x, plot, look) for x, _ in plot.uprights),
        *(part for one in plot.placed for part in _drawn(one, plot, look)),
        *(part for label in plot.labels for part in _label(label, plot, look, printed)),
        "</svg>",
    ]
    return "\n".join(parts)


def _n(value: float) -> str:
    """A coordinate to a hundredth, without idle zeros.

    >>> _n(2.5), _n(-0.001), _n(3)
    ('2.5', '0', '3')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


# ---- frame ------------------------------------------------------------------------


def _grid(plot: Plot, look: Look) -> Iterator[str]:
    left, top, right, bottom = plot.field
    for tick in plot.y_ticks:
        level = _n(plot.y.at(tick.value))
        yield f'<path class="grid" d="M{_n(left)} {level}H{_n(right)}" {look.faint} stroke-width="{HAIR}"/>'
    for tick in plot.x_ticks:
        across = _n(plot.x.at(tick.value)) if plot.x else ""
        yield f'<path class="grid" d="M{across} {_n(top)}V{_n(bottom)}" {look.faint} stroke-width="{HAIR}"/>'


def _axes(plot: Plot, look: Look) -> str:
    left, top, right, bottom = plot.field
    foot = f"H{_n(right)}" if plot.x else ""
    axes = f"M{_n(left)} {_n(top)}V{_n(bottom)}{foot}"
    return f'<path class="axis" d="{axes}" fill="none" stroke="{look.ink}" stroke-width="{FINE}"/>'


# ---- words ----------------------------------------------------------------------------


def captions(plot: Plot, look: Look) -> Iterator[Caption]:
    """Every line of type of a picture, in the order in which it is drawn."""
    yield from _on_axes(plot, look)
    for label in plot.labels:
        yield from _of_label(label, plot)


def _on_axes(plot: Plot, look: Look) -> Iterator[Caption]:
    left, _, _, bottom = plot.field
    below = bottom + (0.55 + ASCENT) * plot.text
    for number, line in enumerate(plot.y_title):
        yield Caption(words=line, part="y-title", x=0, y=(number * LINE + ASCENT) * plot.text)
    for tick in plot.y_ticks:
        if tick.text:
            words, level = tick.text.replace(".", look.decimal), plot.y.at(tick.value) + 0.34 * plot.text
            yield Caption(words=words, part="y-tick", x=left - BESIDE * plot.text, y=level, anchor="end")
    for tick in plot.x_ticks:
        if tick.text and plot.x:
            words = tick.text.replace(".", look.decimal)
            yield Caption(words=words, part="x-tick", x=plot.x.at(tick.value), y=below, anchor="middle")
    yield from _of_uprights(plot)
    if plot.x_title:
        yield Caption(words=plot.x_title, part="x-title", x=left, y=below + 1.35 * plot.text)


def _of_uprights(plot: Plot) -> Iterator[Caption]:
    """Words at the upper end of each reading, where lines that rise are far below: of the first before it."""
    left, top, _, _ = plot.field
    row = 0
    for number, (x, words) in enumerate(plot.uprights):
        before = x - 0.3 * plot.text - text_width(words, plot.text, BOLD)
        beside = number == 0 and before > left
        level = top + (ASCENT + 0.1 + row * LINE) * plot.text
        yield Caption(
            words=words, part="upright-label", x=before if beside else x + 0.3 * plot.text, y=level, weight=BOLD
        )
        row += not beside


def _of_label(label: ChartLabel, plot: Plot) -> Iterator[Caption]:
    size = plot.text
    top = label.y - len(label.lines) * LINE * size / 2
    for number, line in enumerate(label.lines):
        base = top + (number * LINE + 0.1 + ASCENT) * size
        yield Caption(words=line, part="label", x=label.x, y=base, weight=BOLD)


def _text(one: Caption, plot: Plot, look: Look) -> str:
    return (
        f'<text class="{one.part}" x="{_n(one.x)}" y="{_n(one.y)}" font-family="{FAMILY}" font-size="{_n(plot.text)}"'
        f' font-weight="{one.weight}" text-anchor="{one.anchor}" fill="{look.ink}">{escape(one.words)}</text>'
    )


def _upright(x: float, plot: Plot, look: Look) -> str:
    _, top, _, bottom = plot.field
    line = f'd="M{_n(x)} {_n(top)}V{_n(bottom)}" stroke-width="{FINE}" stroke-dasharray="{MARKS["alarm"][0]}"'
    return f'<path class="upright" {line} fill="none" stroke="{look.ink}"/>'


# ---- lines and marks ------------------------------------------------------------------


def _drawn(one: PlacedLabel, plot: Plot, look: Look) -> Iterator[str]:
    guide = one.kind == "guide"
    dash, shape, filled = MARKS.get(one.kind) or STYLES[one.style]
    points = " ".join(f"{_n(x)},{_n(y)}" for x, y in one.path)
    dashes = f' stroke-dasharray="{dash}"' if dash and not guide else ""
    width = BROAD if one.kind == "line" else FINE
    yield (
        f'<polyline class="{one.kind}" points="{points}" fill="none" stroke="{look.ink}" stroke-width="{width}"'
        f"{dashes}/>"
    )
    radius = RADIUS * plot.text
    for point in () if guide or (plot.x and one.kind in MARKS) else one.points:
        yield _marker(shape, point, radius, filled, look)
    if one.over:
        yield _marker("arrow", one.path[-1], radius, True, look)


def _marker(shape: str, point: tuple[float, float], radius: float, filled: bool, look: Look) -> str:
    x, y = point
    inside = "solid" if filled else "hollow"
    paint = f'fill="{look.ink if filled else look.ground}" stroke="{look.ink}" stroke-width="{FINE}"'
    if shape == "disc":
        return f'<circle class="marker disc {inside}" cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" {paint}/>'
    corners = " ".join(f"{_n(x + dx * radius)},{_n(y + dy * radius)}" for dx, dy in SHAPES[shape])
    return f'<polygon class="marker {shape} {inside}" points="{corners}" {paint}/>'


def _label(label: ChartLabel, plot: Plot, look: Look, printed: Callable[[Caption], bool]) -> Iterator[str]:
    size = plot.text
    start, end = label.from_x + 0.5 * size, label.x - 0.25 * size
    if end > start:
        ends = f"{_n(start)},{_n(label.from_y)} {_n(end)},{_n(label.y)}"
        yield f'<polyline class="leader" points="{ends}" fill="none" stroke="{look.ink}" stroke-width="{HAIR}"/>'
    yield from (_text(one, plot, look) for one in _of_label(label, plot) if printed(one))


# ---- charts in Arabic ----------------------------------------------------------------------


RISE = 0.857
"""From the top of a laid-over line to its baseline, over the type size, as the engine sets both faces."""


def chart_over(chart: Chart, figures: Mapping[str, Figure], size: Size, look: Look, name: str) -> str:
    """The picture with its Arabic words laid over it, as HTML.

    In a picture the engine sets each letter by itself and from left to right; in text it shapes and orders them. The
    picture is not turned: Arabic technical texts often keep axes, like numbers, from left to right (common practice,
    no source).

    :raises RenderError: as ``chart_svg``.
    """
    plot = plot_of(chart, figures, size)
    picture = plot_svg(chart, plot, look, name, lambda one: not has_arabic(one.words))
    words = [_laid_over(one, plot, look) for one in captions(plot, look) if has_arabic(one.words)]
    frame = f"width: {plot.width:g}mm; height: {plot.height:.2f}mm"
    return "\n".join([f'<div class="drawing" style="{frame}">', picture, *words, "</div>"])


def _laid_over(one: Caption, plot: Plot, look: Look) -> str:
    """A caption as a paragraph; all of those in letters begin at their left end."""
    place = f"left: {one.x:.2f}mm; top: {one.y - RISE * plot.text:.2f}mm"
    type_ = f"font-size: {plot.text:g}mm; font-weight: {one.weight}; color: {look.ink}"
    return f'<p class="over {one.part}" style="{place}; {type_}">{boxed_words(one.words)}</p>'


def boxed_words(words: str) -> str:
    """Words as HTML, with what is read from left to right in boxes, so that readers of the PDF keep the order too.

    >>> boxed_words("القاعدة: 10 %LEL")
    'القاعدة: <span class="ltr">10 %LEL</span>'
    """
    found, at = "", 0
    for run in RUN.finditer(words):
        found += f'{escape(words[at : run.start()])}<span class="ltr">{escape(run[0])}</span>'
        at = run.end()
    return found + escape(words[at:])
