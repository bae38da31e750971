"""A chart's data and figures, laid out: where every number, line, mark and label lies, in millimetres."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import TypeAlias

from builder.base.errors import RenderError
from builder.base.quantity import printed_unit
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.pages.blocks import Axis, Chart
from builder.render.arabic import text_width
from builder.render.scales import Scale, Tick, linear_ticks, log_ticks, spread
from builder.render.series import Series, series_of, uprights_of

BOLD = 600
"""Weight of the names beside lines and marks."""
LINE = 1.2
"""Height of a line of type over its size."""
ASCENT = 0.75
"""From a line's top to its baseline, over the type size."""
LABELS = {"lines": 0.36, "ladder": 0.6}
"""Widest part of the whole that names may take."""
BESIDE = 0.7
"""From a number to its upright axis, over the type size."""
GAP = 0.2
"""Between two names, over the type size, so that the lines of one name stand closer than two names."""
NARROWEST = 0.25
"""Least part of the whole that is left for the lines."""
LEAD = 1.6
"""From a line's end to its name, over the type size."""
Field: TypeAlias = tuple[float, float, float, float]
"""Left, top, right, bottom of the room between the axes."""
RUNG = 14.0
"""Length of the marks of a ladder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large a chart is set."""

    width: float
    """Of the whole."""
    height: float
    """Of the field between the axes, at least."""
    text: float
    """Type size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartLabel:
    """Words at a line's end or beside a mark, with the place they belong to."""

    lines: tuple[str, ...]
    x: float
    y: float
    """Middle of the block of lines."""
    from_x: float
    from_y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedLabel:
    """A line or mark with its points."""

    style: int
    """Number of its dash and marker; of no use to a guide."""
    kind: str
    """``line``, ``guide``, or the kind of a mark."""
    points: tuple[tuple[float, float], ...]
    """Where markers stand."""
    path: tuple[tuple[float, float], ...]
    """What is drawn through; begins before the first point where the line begins at zero, and ends beyond the last
    where the next value is off the scale."""
    over: bool = False
    """Whether the line leaves the scale at its end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """All of it."""

    width: float
    height: float
    text: float
    x: Scale | None
    y: Scale
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    x_title: str
    y_title: tuple[str, ...]
    field: Field
    placed: tuple[PlacedLabel, ...]
    labels: tuple[ChartLabel, ...]
    uprights: tuple[tuple[float, str], ...] = ()
    """Where along x a reading is marked, and its words."""


def plot_of(chart: Chart, figures: Mapping[str, Figure], size: Size) -> Plot:
    """Lay a chart out.

    :raises RenderError: for an unknown figure, one that does not belong on its axis, or names too long for the width.
    """
    drawn = series_of(chart, figures)
    room = LABELS["lines" if chart.x else "ladder"] * size.width
    words = [wrapped_lines(one.words, room, size.text, BOLD) for one in drawn]
    y_title = wrapped_lines(_title(chart.y, chart.comma), size.width, size.text)
    heights = [(len(lines) * LINE + GAP) * size.text for lines in words]
    tall = max(size.height, sum(heights) + LINE * size.text)
    levels = [y for one in drawn for _, y in one.reached]
    y_ticks = _ticks(chart.y, levels, max(2, int(tall / (2 * LINE * size.text))))
    field = _field(chart, words, y_ticks, size, (len(y_title) * LINE + 0.7) * size.text, tall)
    field = _widened(field, _across(chart, drawn, field, size)[1], size)
    y = Scale(y_ticks[0].value, y_ticks[-1].value, field[3], field[1], chart.y.log)
    x, x_ticks = _across(chart, drawn, field, size)
    placed = tuple(_placed(one, x, y, field) for one in drawn)
    return Plot(
        width=size.width,
        height=field[3] + (3.2 if chart.x else 0.6) * size.text,
        text=size.text,
        x=x,
        y=y,
        x_ticks=x_ticks,
        y_ticks=tuple(y_ticks),
        x_title=_title(chart.x, chart.comma) if chart.x else "",
        y_title=y_title,
        field=field,
        placed=placed,
        labels=_labels(placed, words, heights, field, size),
        uprights=tuple((x.at(at), said) for at, said in uprights_of(chart, figures)) if x else (),
    )


def _field(
    chart: Chart, words: Sequence[tuple[str, ...]], ticks: Sequence[Tick], size: Size, top: float, tall: float
) -> Field:
    wide = max(text_width(line, size.text, BOLD) for lines in words for line in lines)
    left = max(text_width(tick.text, size.text) for tick in ticks) + BESIDE * size.text
    if chart.x is None:
        right, enough = left + RUNG, left + RUNG + LEAD * size.text + wide <= size.width
    else:
        right = size.width - wide - LEAD * size.text
        enough = right - left >= NARROWEST * size.width
    if not enough:
        raise RenderError(f"chart {chart.title!r}: its names leave too little room at {size.width:g} mm")
    return left, top, right, top + tall


def _widened(field: Field, ticks: Sequence[Tick], size: Size) -> Field:
    """The room between the axes, drawn in so that the numbers below its corners stay inside the whole."""
    if not ticks:
        return field
    first, last = (text_width(tick.text, size.text) / 2 for tick in (ticks[0], ticks[-1]))
    left, top, right, bottom = field
    return max(left, first), top, min(right, size.width - last), bottom


# ---- places ----------------------------------------------------------------------


def _title(axis: Axis, comma: str) -> str:
    return f"{axis.label}{comma}{printed_unit(axis.unit)}" if axis.unit else axis.label


def _ticks(axis: Axis, values: Sequence[Fraction], most: int) -> list[Tick]:
    return log_ticks(values, most) if axis.log else linear_ticks(values, most, zoomed=axis.zoomed)


def _across(chart: Chart, drawn: Sequence[Series], field: Field, size: Size) -> tuple[Scale | None, tuple[Tick, ...]]:
    if chart.x is None:
        return None, ()
    lines = [one for one in drawn if one.kind in ("line", "guide")]
    values = [across for one in lines for across, _ in one.reached]
    if not values:
        raise RenderError(f"chart {chart.title!r} has an x axis and no lines")
    left, _, right, _ = field
    ticks: list[Tick] = []
    for most in range(10, 1, -1):
        ticks = _ticks(chart.x, values, most)
        scale = Scale(ticks[0].value, ticks[-1].value, left, right, chart.x.log)
        if _apart([(scale.at(tick.value), text_width(tick.text, size.text)) for tick in ticks if tick.text], size.text):
            break
    return Scale(ticks[0].value, ticks[-1].value, left, right, chart.x.log), tuple(ticks)


def _apart(texts: Sequence[tuple[float, float]], gap: float) -> bool:
    return all(x - wide / 2 >= before + wide_before / 2 + gap for (before, wide_before), (x, wide) in pairwise(texts))


def _placed(one: Series, x: Scale | None, y: Scale, field: Field) -> PlacedLabel:
    left, _, right, bottom = field
    if one.kind not in ("line", "guide") or x is None:
        level = y.at(one.points[0][1])
        return PlacedLabel(style=0, kind=one.kind, points=((right, level),), path=((left, level), (right, level)))
    points = tuple((x.at(across), y.at(up)) for across, up in one.points)
    path = (((left, bottom),) if one.from_zero else ()) + points
    if one.beyond is not None:
        path += ((x.at(one.beyond[0]), y.at(one.beyond[1])),)
    return PlacedLabel(style=one.style, kind=one.kind, points=points, path=path, over=one.beyond is not None)


def _labels(
    placed: Sequence[PlacedLabel], words: Sequence[tuple[str, ...]], heights: Sequence[float], field: Field, size: Size
) -> tuple[ChartLabel, ...]:
    _, top, right, bottom = field
    ends = [one.path[-1] for one in placed]
    half = LINE * size.text / 2
    middles = spread([y for _, y in ends], heights, top - half, bottom + half)
    return tuple(
        ChartLabel(lines=lines, x=right + LEAD * size.text, y=middle, from_x=x, from_y=y)
        for lines, middle, (x, y) in zip(words, middles, ends, strict=True)
    )


def wrapped_lines(text: str, room: float, size: float, weight: int = 400) -> tuple[str, ...]:
    """The text in lines no wider than ``room``, broken at line ends and spaces; a longer word stays whole."""
    made: list[str] = []
    for part in text.split("\n"):
        line, *words = part.split(" ")
        for word in words:
            if text_width(f"{line} {word}", size, weight) <= room:
                line = f"{line} {word}"
            else:
                made.append(line)
                line = word
        made.append(line)
    return tuple(made)
