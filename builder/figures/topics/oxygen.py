"""Oxygen at the height of the site: what a percentage means to the body there."""

from contextlib import suppress
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import quantity
from builder.base.rounding import Direction, Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import atmosphere, origin, oxygen
from builder.figures.ledger import Ledger
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written
from builder.figures.terms import Term, constant, exactly, written
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part

LEVELS = ("19.5", "20.9", "23.5")
"""Displayed oxygen that rules and clean air name, %vol."""
CLEAN = "20.9"
"""Clean air, as instruments are set."""
ENRICHED = Fraction(CLEAN)
"""Above it too much oxygen is the risk, so a printed value is rounded up."""
NAMED = "29 CFR 1910.146(b) names 19.5 and 23.5 %vol; clean air is set to 20.9 %vol"
DIGITS = 3
HIGH = 300
"""Altitude in metres above which percent alone misleads (common practice)."""
SATURATED = constant("humidity", quantity(100, "%"), "100\u00a0%", source="definition of saturated air")


def compute(recorder: FigureRecorder) -> None:
    """Enter ``oxygen.site.*``."""
    pressure = recorder.ledger.get(keyed.SITE_PRESSURE())
    if pressure is None:
        return
    vapours = [(name, figure) for name, figure in _vapours(recorder) if figure is not None]
    with recorder.at(recorder.program.site.where):
        for level in LEVELS:
            _level(recorder, level, pressure, vapours)
        recorder.ledger.alias(keyed.OXYGEN_CLEAN(), keyed.OXYGEN_PARTIAL(n=number_part(CLEAN)))


def high_site(ledger: Ledger) -> bool:
    """Whether the air of the site is so thin that a percentage needs its partial pressure beside it."""
    pressure = ledger.get(keyed.SITE_PRESSURE())
    return pressure is not None and pressure.amount < atmosphere.pressure_at_altitude(quantity(HIGH, "m"))


def _vapours(recorder: FigureRecorder) -> list[tuple[str, Figure | None]]:
    stated = recorder.program.site.ambient.humidity
    made = [("saturated", _water(recorder, "saturated", SATURATED))]
    if stated is not None:
        made.append(("humid", _water(recorder, "humid", written("humidity of the site", stated))))
    return made


def _water(recorder: FigureRecorder, name: str, humidity: Term) -> Figure | None:
    temperature = recorder.ledger[keyed.SITE_TEMPERATURE()]
    with suppress(OutOfRangeError):  # outside the range of the formula there is no figure
        return recorder.derived(
            keyed.OXYGEN_WATER(air=name),
            f"Water vapour in {name} air of the site",
            "kPa",
            Rounding(direction=Direction.UP, digits=DIGITS, why="water takes the place of oxygen"),
            oxygen.water_vapour,
            temperature,
            humidity,
        )
    return None


def _level(recorder: FigureRecorder, level: str, pressure: Figure, vapours: list[tuple[str, Figure]]) -> None:
    n = number_part(level)
    shown = constant("named by rules, and clean air", quantity(level, "%vol"), f"{level}\u00a0%vol", source=NAMED)
    recorder.derived(
        keyed.OXYGEN_DISPLAY(n=n), "Displayed oxygen", "%vol", as_written(level), origin.stated, shown, source=NAMED
    )
    _partial(recorder, keyed.OXYGEN_PARTIAL(n=n), level, pressure, None, "dry")
    for name, vapour in vapours:
        _partial(recorder, keyed.OXYGEN_PARTIAL_WET(n=n, air=name), level, pressure, vapour, name)
    recorder.derived(
        keyed.OXYGEN_SEA_LEVEL(n=n),
        f"Oxygen at sea level with the same partial pressure as {level} %vol here",
        "%vol",
        _side(level, Fraction("0.1")),
        oxygen.sea_level_equivalent,
        _shown(recorder, level),
        pressure,
        note="what the body meets; alarms and rules are in percent all the same",
    )


def _partial(recorder: FigureRecorder, key: str, level: str, pressure: Figure, vapour: Figure | None, air: str) -> None:
    label = f"Partial pressure of oxygen at {level} %vol here, {air} air"
    recorder.derived(
        key, label, "kPa", _side(level), oxygen.partial_pressure, _shown(recorder, level), pressure, vapour
    )


def _shown(recorder: FigureRecorder, level: str) -> Term:
    return exactly(recorder.ledger[keyed.OXYGEN_DISPLAY(n=number_part(level))])


def _side(level: str, step: Fraction | None = None) -> Rounding:
    up = Fraction(level) > ENRICHED
    why = "too much oxygen is the risk here" if up else "too little oxygen is the risk here"
    direction = Direction.UP if up else Direction.DOWN
    return Rounding(direction=direction, step=step, digits=None if step else DIGITS, why=why)
