"""Volume to mass, share of the explosive limit to volume, and oxygen against a gas that displaces it."""

from __future__ import annotations

from collections.abc import Sequence

from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.pages.blocks import Axis, Chart, Line, Mark
from builder.program.gases import Gas
from builder.program.keys.families import CHART_MASS, CHART_POINT, CHART_VOLUME, OXYGEN_AFTER, OXYGEN_DISPLAY
from builder.program.keys.family import Family
from builder.program.program import Program

MOST = 6
"""Gases in one chart of the whole site."""
COMMON = tuple(CHART_POINT(n=n, scale="ppm") for n in ("50", "100"))
READ = "go up from the number you have to the line, then left to the other unit."
LEVELS = (("23-5", "Too much above"), ("20-9", "Clean air"), ("19-5", "Too little below"))


def mass_charts(program: Program, ledger: Ledger) -> tuple[Chart, ...]:
    """Parts per million to mass for every gas, a few lines a chart, spread so that lines keep apart."""
    found = [
        (ledger[points[-1][1]], Line(gas.name, points, from_zero=True))
        for gas in program.gases.values()
        for points in (tuple(pair for pair in _points(ledger, CHART_MASS, gas) if pair[0] in COMMON),)
        if points
    ]
    lines = _sorted(found)
    count = -(-len(lines) // MOST)
    groups = [tuple(lines[start::count]) for start in range(count)]
    return tuple(_mass(_numbered("Volume to mass", number, count), group) for number, group in enumerate(groups, 1))


def share_charts(program: Program, ledger: Ledger) -> tuple[Chart, ...]:
    """Percent of the explosive limit to percent by volume for every gas, those of like limits in one chart."""
    found = [
        (ledger[points[-1][1]], Line(gas.name, points, from_zero=True))
        for gas in program.gases.values()
        for points in (_points(ledger, CHART_VOLUME, gas),)
        if points
    ]
    lines = _sorted(found)
    count = -(-len(lines) // MOST)
    size = -(-len(lines) // count) if count else 1
    groups = [tuple(lines[start : start + size]) for start in range(0, len(lines), size)]
    title = "Share of the explosive limit to volume"
    return tuple(_share(_numbered(title, number, count), group) for number, group in enumerate(groups, 1))


def displacement_chart(ledger: Ledger) -> Chart | None:
    """Oxygen left against the gas that came in, up to nothing but that gas."""
    found = sorted(ledger.under(OXYGEN_AFTER.start()), key=lambda figure: -figure.rounded)
    if not found:
        return None
    points = tuple((figure.inputs[0].figure, figure.key) for figure in found)
    marks = ((OXYGEN_DISPLAY(n=level), label) for level, label in LEVELS)
    return Chart(
        title="Oxygen left when another gas comes in",
        description="Go up from the share of the other gas to the line, then left to the oxygen that is left: a small "
        "fall of oxygen stands for much gas.",
        x=Axis("Other gas in the air", "%vol"),
        y=Axis("Oxygen", "%vol"),
        lines=(Line("Oxygen left", points),),
        marks=tuple(Mark(key, label) for key, label in marks if key in ledger),
    )


def _mass(title: str, lines: tuple[Line, ...]) -> Chart:
    description = f"Mass of a gas at the reference conditions of the limits: {READ}"
    return Chart(title, description, Axis("By volume", "ppm"), Axis("By mass", "mg/m3"), lines)


def _share(title: str, lines: tuple[Line, ...]) -> Chart:
    description = f"On the site's LEL basis: {READ}"
    return Chart(title, description, Axis("Share of the explosive limit", "%LEL"), Axis("By volume", "%vol"), lines)


def _points(ledger: Ledger, family: Family, gas: Gas) -> tuple[tuple[str, str], ...]:
    """(point along the chart, value there) of a gas, rising."""
    found = [(family.read(figure.key), figure.key) for figure in ledger.under(family.start(gas=gas.id))]
    pairs = [(CHART_POINT(n=parts["n"], scale=parts["scale"]), key) for parts, key in found if parts]
    return tuple(sorted(pairs, key=lambda pair: ledger[pair[0]].rounded))


def _sorted(found: Sequence[tuple[Figure, Line]]) -> list[Line]:
    return [line for _, line in sorted(found, key=lambda pair: (pair[0].exact, pair[1].name))]


def _numbered(title: str, number: int, count: int) -> str:
    return f"{title}, {number} of {count}" if count > 1 else title
