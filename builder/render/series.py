"""A chart's figures as numbers of its axes: what is printed is what is drawn, lines that are told to be exact apart."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from builder.base.errors import RenderError
from builder.base.quantity import magnitude, quantity, same_dimension
from builder.base.record import dataclass
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.pages.blocks import Axis, Chart, Line


@dataclass(frozen=True, slots=True)
class Series:
    """A line or mark in numbers of the axes."""

    words: str
    """A name a line of type where lines of the chart lie on each other."""
    kind: str
    style: int
    points: tuple[tuple[Fraction, Fraction], ...]
    from_zero: bool = False
    beyond: tuple[Fraction, Fraction] | None = None
    """Where the line goes off the scale."""

    @property
    def reached(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """Every place the axes must hold."""
        return (*self.points, *((self.beyond,) if self.beyond else ()))


def series_of(chart: Chart, figures: Mapping[str, Figure]) -> list[Series]:
    """Lines, then marks, in the order given.

    :raises RenderError: for an unknown figure, or one that does not belong on its axis.
    """
    found = [*_lines(chart, figures), *_marks(chart, figures)]
    if not found:
        raise RenderError(f"chart {chart.title!r} has neither lines nor marks")
    return found


def _value(key: str, axis: Axis, figures: Mapping[str, Figure], *, exact: bool = False) -> Fraction:
    """What is printed for a figure, in the unit of the axis; or what it is before rounding."""
    figure = figures.get(key)
    if figure is None:
        raise RenderError(f"no figure has the key {key!r}")
    try:
        printed = figure.amount if exact else quantity(figure.rounded, figure.unit)
    except TypeError as error:
        raise RenderError(f"{key} is a day, which no chart can show") from error
    if not same_dimension(printed, axis.unit):
        raise RenderError(f"{key} is in {figure.unit or 'no unit'}; its axis is in {axis.unit or 'no unit'}")
    value = magnitude(printed, axis.unit)
    if axis.log and value <= 0:
        raise RenderError(f"{key} is {figure.printed}, which a logarithmic axis cannot show")
    return value


def _lines(chart: Chart, figures: Mapping[str, Figure]) -> list[Series]:
    """Lines in numbers; lines that lie wholly on each other are drawn once, under all their names."""
    if chart.x is None:
        if chart.lines:
            raise RenderError(f"chart {chart.title!r} has lines and no x axis")
        return []
    found: list[Series] = []
    for line in chart.lines:
        one = _line(line, chart, chart.x, figures, sum(1 for other in found if other.kind == "line"))
        same = next((n for n, o in enumerate(found) if (o.points, o.beyond) == (one.points, one.beyond)), None)
        if same is None:
            found.append(one)
        else:
            first, second = sorted((found[same], one), key=lambda other: other.kind == "guide")
            found[same] = replace(first, words=f"{first.words}{chart.comma.rstrip()}\n{second.words}")
    return found


def _line(line: Line, chart: Chart, x: Axis, figures: Mapping[str, Figure], number: int) -> Series:
    y = chart.y
    points: list[tuple[Fraction, Fraction]] = []
    beyond, words = None, line.name
    for key_x, key_y in line.points:
        across, up = _value(key_x, x, figures), _value(key_y, y, figures, exact=line.exact)
        rounding, exact = figures[key_y].rounding, figures[key_y].exact
        if rounding is not None and rounding.cap is not None and isinstance(exact, Fraction) and exact > rounding.cap:
            before = points[-1] if points else (Fraction(0), Fraction(0)) if line.from_zero else (across, rounding.cap)
            share = (rounding.cap - before[1]) / (up - before[1]) if up > before[1] else Fraction(0)
            beyond = (before[0] + share * (across - before[0]), rounding.cap)
            words = f"{line.name}{chart.comma}{figures[key_y].text.replace(' ', NO_BREAK_SPACE)}"
            break
        points.append((across, up))
    if not points and beyond is None:
        raise RenderError(f"line {line.name!r} has no points")
    if line.from_zero and (x.log or y.log):
        raise RenderError(f"line {line.name!r} begins at zero, which a logarithmic axis does not have")
    return Series(words, "guide" if line.guide else "line", number, tuple(points), line.from_zero, beyond)


def uprights_of(chart: Chart, figures: Mapping[str, Figure]) -> list[tuple[Fraction, str]]:
    """Readings along x that are marked, with their words.

    :raises RenderError: for an unknown figure, or one that does not belong on the axis.
    """
    if chart.x is None:
        return []
    return [(_value(mark.key, chart.x, figures), f"{mark.label}: {figures[mark.key].text}") for mark in chart.uprights]


def _marks(chart: Chart, figures: Mapping[str, Figure]) -> list[Series]:
    found: list[Series] = []
    for mark in chart.marks:
        level = _value(mark.key, chart.y, figures)
        found.append(Series(f"{mark.label}: {figures[mark.key].printed}", mark.kind, 0, ((Fraction(0), level),)))
    return found
