"""Points of the charts: mass and share of the explosive limit, oxygen displaced, time until an averaged alarm."""

from collections.abc import Callable
from fractions import Fraction

from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.rounding import Direction, Rounding, plain
from builder.figures.chart_points import COMMON, SHARES, SHORTEST, concentrations
from builder.figures.figure import Figure
from builder.figures.formulas import exposure, origin, oxygen
from builder.figures.formulas import gas as formulas
from builder.figures.ledger import figures_there
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import as_written, chart
from builder.figures.terms import as_set, constant, exactly
from builder.program.gases import OXYGEN_GAS, Gas
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part

DISPLACED = tuple(Fraction(part) for part in (0, 5, *range(10, 101, 10)))
"""Percent by volume of the gas that comes in."""
KINDS = ("twa", "stel", "ceiling")
NEVER_ABOVE = ("ceiling", "idlh")
"""Kinds of limit above which no time is told."""
UNIT_PART = {"ppm": "ppm", "%LEL": "lel", "%vol": "vol"}
UNITS = ("ppm", "%vol")
"""Units of averaged alarms that have such a curve."""
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
                made = recorder.ledger.get(keyed.SETPOINT(area=area.id, channel=channel, alarm=alarm))
                if made is None or made.unit not in UNITS or made.rounded <= 0:
                    continue
                if (channel, alarm, made.rounded) not in seen:
                    seen.add((channel, alarm, made.rounded))
                    _times(recorder, area.id, channel, made, alarm)


def _named(value: Fraction, unit: str) -> dict[str, str]:
    """The parts of a key that name a point."""
    return {"n": number_part(value), "scale": UNIT_PART[unit]}


def _point(recorder: FigureRecorder, value: Fraction, unit: str) -> Figure:
    key = keyed.CHART_POINT(**_named(value, unit))
    made = recorder.ledger.get(key)
    if made is not None:
        return made
    text = plain(value)
    chosen = constant(
        "chosen as a point of a chart", quantity(value, unit), f"{text}\u00a0{unit}", source="the builder's own scale"
    )
    label, source = f"{text} {unit} along a chart", "chosen by the builder"
    return recorder.derived(key, label, unit, as_written(text), origin.stated, chosen, source=source)


# ---- conversions -----------------------------------------------------------------


def _mass(recorder: FigureRecorder, gas: Gas) -> None:
    keys = (
        keyed.EXPOSURE_LIMIT(gas=gas.id, list=listed, kind=kind)
        for listed in recorder.program.limit_lists
        for kind in KINDS
    )
    if not any(key in recorder.ledger for key in keys) and keyed.GAS_LEL(gas=gas.id) not in recorder.ledger:
        return
    weighed = recorder.ledger[keyed.GAS_MOLAR_MASS(gas=gas.id)]
    reference = [recorder.ledger[keyed.REFERENCE_TEMPERATURE()], recorder.ledger[keyed.REFERENCE_PRESSURE()]]
    for value in COMMON:
        at = _point(recorder, value, "ppm")
        key, label = keyed.CHART_MASS(gas=gas.id, **_named(value, "ppm")), f"{at.printed} of {gas.name} in mass"
        recorder.derived(key, label, "mg/m3", chart(3), formulas.ppm_to_mgm3, at, weighed, *reference)


def _share(recorder: FigureRecorder, gas: Gas) -> None:
    lel = recorder.ledger.get(keyed.GAS_LEL(gas=gas.id))
    for share in SHARES if lel is not None else ():
        at = _point(recorder, share, "%LEL")
        if lel is not None:
            key = keyed.CHART_VOLUME(gas=gas.id, **_named(share, "%LEL"))
            label = f"{at.printed} of {gas.name} by volume"
            recorder.derived(key, label, "%vol", chart(3), formulas.lel_to_vol, at, lel)


# ---- oxygen ------------------------------------------------------------------------


def _displaced(recorder: FigureRecorder) -> None:
    for value in DISPLACED:
        at = _point(recorder, value, "%vol")
        recorder.derived(
            keyed.OXYGEN_AFTER(n=number_part(value)),
            f"Oxygen left in air that holds {at.printed} of another gas",
            "%vol",
            Rounding(direction=Direction.DOWN, digits=3, why="too little oxygen is the risk here"),
            oxygen.after_displacement,
            at,
            note="well mixed, and nothing has used oxygen up; many gases kill long before they displace this much",
        )


# ---- time until an averaged alarm ------------------------------------------------------


def _times(recorder: FigureRecorder, area: str, gas: str, setpoint: Figure, alarm: str) -> None:
    formula: Callable[[Quantity, Quantity, Quantity | None], Quantity] = exposure.time_to_twa
    if _superseded(recorder, gas):
        return
    words, unit = "alarm of the 8-hour average", "h"
    if alarm == "stel":
        formula, words, unit = exposure.time_to_stel, "alarm of the 15-minute average", "min"
    top = _never_above(recorder, gas)
    highest = None if top is None else magnitude(top.amount, "ppm")
    for value in concentrations(magnitude(setpoint.printed_amount, "ppm"), alarm, highest):
        at = _point(recorder, value, "ppm")
        recorder.derived(
            keyed.CHART_TIME(area=area, channel=gas, averaged=alarm, **_named(value, "ppm")),
            f"Time at {at.printed} until the {words}, {setpoint.label}",
            unit,
            ALLOWED,
            formula,
            at,
            as_set(setpoint, "setpoint as set"),
            exactly(top, "never to be passed") if top else None,
            note=STEADY,
        )


def _superseded(recorder: FigureRecorder, gas: str) -> bool:
    """Whether a newer edition has replaced a limit of this gas by a number nobody read, so that no bound is known."""
    library, entry = recorder.program.library, recorder.program.gases[gas].entry.id
    lists = recorder.program.limit_lists
    return any(value.superseded for name in lists for value in library.limits(entry, name, recorder.as_of).values())


def _never_above(recorder: FigureRecorder, gas: str) -> Figure | None:
    """The lowest ceiling or value dangerous to life of the lists in use."""
    lists = recorder.program.limit_lists
    keys = (keyed.EXPOSURE_LIMIT(gas=gas, list=listed, kind=kind) for listed in lists for kind in NEVER_ABOVE)
    return min(figures_there(recorder.ledger, keys), key=lambda figure: figure.number, default=None)
