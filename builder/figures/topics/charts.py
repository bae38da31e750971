"""Points of the charts: mass and share of the explosive limit, oxygen displaced, time until an averaged alarm."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from itertools import count, takewhile

from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.rounding import Direction, Rounding, plain
from builder.figures.figure import Figure, Input
from builder.figures.formulas import exposure, origin, oxygen
from builder.figures.formulas import gas as formulas
from builder.figures.recorder import FigureRecorder, of
from builder.figures.roundings import as_written, chart
from builder.program.areas import OXYGEN_GAS
from builder.program.gases import Gas

FIFTHS = tuple(Fraction(part, 5) for part in range(1, 6))
COMMON = (Fraction(50), Fraction(100))
"""Parts per million at which all gases stand in one chart."""
DISPLACED = tuple(Fraction(part) for part in (0, 5, *range(10, 101, 10)))
"""Percent by volume of the gas that comes in."""
KINDS = ("twa", "stel", "ceiling")
UNIT_PART = {"ppm": "ppm", "%LEL": "lel", "%vol": "vol"}
UNITS = ("ppm", "%vol")
"""Units of averaged alarms that have such a curve."""
LONGEST, SHORTEST = Fraction(1, 3), {"twa": 32, "stel": 15}
"""From a third of a full-shift limit (a whole day) to the multiple that leaves a quarter of an hour, or one minute."""
ALLOWED = Rounding(direction=Direction.DOWN, digits=2, why="a time until an alarm is never printed longer than it is")
STEADY = (
    "steady concentration from the start and none before it; an average that had begun is used up sooner; "
    "no permission to stay"
)


def compute(recorder: FigureRecorder) -> None:
    """Enter ``chart.*`` and ``oxygen.after.*``."""
    for gas in recorder.program.gases.values():
        _mass(recorder, gas)
        _share(recorder, gas)
    if any(gas.entry.id == OXYGEN_GAS for gas in recorder.program.gases.values()):
        _displaced(recorder)
    seen: set[tuple[str, str, Fraction]] = set()
    for area in recorder.program.areas.values():
        for channel in recorder.program.channels_in(area):
            for alarm in SHORTEST if channel in recorder.program.gases else ():
                made = recorder.ledger.get(f"setpoint.{area.id}.{channel}.{alarm}")
                if made is None or made.unit not in UNITS or made.rounded <= 0:
                    continue
                if (channel, alarm, made.rounded) not in seen:
                    seen.add((channel, alarm, made.rounded))
                    _times(recorder, f"chart.{area.id}.{channel}.to-{alarm}", channel, made, alarm)


def part(value: Fraction, unit: str) -> str:
    """The part of a key that names a point: ``at-2-5-ppm``, ``at-20-lel``."""
    return f"at-{plain(value).replace('.', '-')}-{UNIT_PART[unit]}"


def rounded_up(value: Fraction) -> Fraction:
    """The least of 1, 2, 5, 10 ... and of 0.1, 0.2, 0.5 ... that is not below ``value``.

    >>> rounded_up(Fraction(35)), rounded_up(Fraction("0.15"))
    (Fraction(50, 1), Fraction(1, 5))
    """
    return next(step for step in _steps(value) if step >= value)


def _steps(least: Fraction) -> Iterator[Fraction]:
    """1, 2, 5, 10 ... without end, from at most ``least`` on."""
    power = Fraction(1)
    while power > least:
        power /= 10
    for times in count():
        yield from (power * 10**times * lead for lead in (1, 2, 5))


def _point(recorder: FigureRecorder, value: Fraction, unit: str) -> Figure:
    key = f"chart.{part(value, unit)}"
    made = recorder.ledger.get(key)
    if made is not None:
        return made
    text = plain(value)
    chosen = Input(label="chosen as a point of a chart", text=f"{text}\u00a0{unit}", source="the builder's own scale")
    label, source = f"{text} {unit} along a chart", "chosen by the builder"
    at = quantity(value, unit)
    return recorder.number(key, label, at, unit, as_written(text), origin.stated, [chosen], source=source)


# ---- conversions -----------------------------------------------------------------


def top_of(ledger_limits: Iterable[Figure]) -> Fraction:
    """How far a gas's own chart of mass goes, in parts per million: to its highest limit, else to a hundred."""
    return rounded_up(max((limit.rounded for limit in ledger_limits), default=COMMON[-1]))


def _mass(recorder: FigureRecorder, gas: Gas) -> None:
    keys = (f"gas.{gas.id}.limit.{listed}.{kind}" for listed in recorder.program.limit_lists for kind in KINDS)
    limits = [figure for figure in map(recorder.ledger.get, keys) if figure is not None]
    if not limits and f"gas.{gas.id}.lel" not in recorder.ledger:
        return
    weighed = recorder.ledger[f"gas.{gas.id}.molar-mass"]
    reference = [recorder.ledger["reference.temperature"], recorder.ledger["reference.pressure"]]
    top = top_of(limits)
    for value in sorted({*COMMON, *(top * fifth for fifth in FIFTHS)}):
        at = _point(recorder, value, "ppm")
        recorder.number(
            f"chart.{gas.id}.mg-m3.{part(value, 'ppm')}",
            f"{at.printed} of {gas.name} in mass",
            formulas.ppm_to_mgm3(at.amount, weighed.amount, *(figure.amount for figure in reference)),
            "mg/m3",
            chart(3),
            formulas.ppm_to_mgm3,
            [of(at), of(weighed), *(of(figure) for figure in reference)],
        )


def _share(recorder: FigureRecorder, gas: Gas) -> None:
    lel = recorder.ledger.get(f"gas.{gas.id}.lel")
    for fifth in FIFTHS if lel is not None else ():
        at = _point(recorder, 100 * fifth, "%LEL")
        if lel is not None:
            recorder.number(
                f"chart.{gas.id}.vol.{part(100 * fifth, '%LEL')}",
                f"{at.printed} of {gas.name} by volume",
                formulas.lel_to_vol(at.amount, lel.amount),
                "%vol",
                chart(3),
                formulas.lel_to_vol,
                [of(at), of(lel)],
            )


# ---- oxygen ------------------------------------------------------------------------


def _displaced(recorder: FigureRecorder) -> None:
    for value in DISPLACED:
        at = _point(recorder, value, "%vol")
        recorder.number(
            f"oxygen.after.{plain(value)}",
            f"Oxygen left in air that holds {at.printed} of another gas",
            oxygen.after_displacement(at.amount),
            "%vol",
            Rounding(direction=Direction.DOWN, digits=3, why="too little oxygen is the risk here"),
            oxygen.after_displacement,
            [of(at)],
            note="well mixed, and nothing has used oxygen up; many gases kill long before they displace this much",
        )


# ---- time until an averaged alarm ------------------------------------------------------


def _times(recorder: FigureRecorder, key: str, gas: str, setpoint: Figure, alarm: str) -> None:
    formula: Callable[[Quantity, Quantity], Quantity] = exposure.time_to_twa
    words, unit = "full-shift alarm", "h"
    if alarm == "stel":
        formula, words, unit = exposure.time_to_stel, "short-term alarm", "min"
    limit = setpoint.printed_amount
    for value in _concentrations(magnitude(limit, "ppm"), alarm, _deadly(recorder, gas)):
        at = _point(recorder, value, "ppm")
        recorder.number(
            f"{key}.{part(value, 'ppm')}",
            f"Time at {at.printed} until the {words}, {setpoint.label}",
            formula(at.amount, limit),
            unit,
            ALLOWED,
            formula,
            [of(at), of(setpoint, "setpoint as set")],
            note=STEADY,
        )


def _concentrations(limit: Fraction, alarm: str, deadly: Fraction | None) -> list[Fraction]:
    """Round concentrations beside the limit itself; none beyond what is at once dangerous to life."""
    low, high = (limit * LONGEST if alarm == "twa" else limit), limit * SHORTEST[alarm]
    high = high if deadly is None else max(limit, min(high, deadly))
    grid = takewhile(lambda step: step <= high, _steps(low))
    return sorted({limit, *(step for step in grid if step >= low)})


def _deadly(recorder: FigureRecorder, gas: str) -> Fraction | None:
    keys = (f"gas.{gas}.limit.{listed}.idlh" for listed in recorder.program.limit_lists)
    found = [magnitude(figure.amount, "ppm") for figure in map(recorder.ledger.get, keys) if figure is not None]
    return min(found, default=None)
