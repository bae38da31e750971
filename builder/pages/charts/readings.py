"""What a flammable display means: true against displayed reading, a line a gas."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.pages.blocks import Axis, Chart, Line, Mark
from builder.program.areas import Area
from builder.program.keys.families import READING, READING_TRUE, RULE
from builder.program.program import Program

DESCRIPTION = (
    "From the reading go up to the line of the gas, then left to what is really there; the thin line is what a display "
    "without error would show."
)
MOST = 7
"""Lines that can still be told apart, beside the one to compare with."""


@dataclass(frozen=True, slots=True)
class Voice:
    """How a chart speaks on a card: the texts and names of a language."""

    text: Callable[[str], str]
    gas: Callable[[str], str]
    area: str
    comma: str = ", "


def reading_charts(
    program: Program, ledger: Ledger, area: Area, gases: Sequence[str] = (), voice: Voice | None = None
) -> tuple[Chart, ...]:
    """True against displayed readings in an area, for these gases or for all its hazards that have a correction."""
    shown = _shown(ledger)
    named = gases or [hazard.gas.value for hazard in area.hazards]
    voice = voice or Voice(str, lambda gas: program.gases[gas].name, area.name)
    lines = [line for gas in named for line in _line(voice, ledger, area, gas, shown)]
    if not lines:
        return ()
    guide = Line(
        voice.text("as displayed"), tuple((figure.key, figure.key) for figure in shown), from_zero=True, guide=True
    )
    rule = RULE(area=area.id, quantity="flammable")
    return tuple(
        Chart(
            title=f"{voice.text('What the flammable display means')}{voice.comma}{voice.area}",
            description=voice.text(DESCRIPTION),
            x=Axis(voice.text("Display shows"), "%LEL"),
            y=Axis(voice.text("Really there"), "%LEL"),
            lines=(*lines[start : start + MOST], guide),
            marks=(Mark(rule, voice.text("Rule")),) if rule in ledger else (),
            comma=voice.comma,
        )
        for start in range(0, len(lines), MOST)
    )


def _shown(ledger: Ledger) -> list[Figure]:
    found = [figure for figure in ledger.under(READING.start()) if READING.read(figure.key)]
    return sorted(found, key=lambda figure: figure.rounded)


def _line(voice: Voice, ledger: Ledger, area: Area, gas: str, shown: Sequence[Figure]) -> tuple[Line, ...]:
    numbers = [(figure.key, READING.read(figure.key) or {}) for figure in shown]
    pairs = [(key, READING_TRUE(area=area.id, gas=gas, **number)) for key, number in numbers]
    points = tuple(pair for pair in pairs if pair[1] in ledger)
    return (Line(voice.gas(gas), points, from_zero=True),) if points else ()
