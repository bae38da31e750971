"""What a flammable display means: true against displayed reading, a line a gas; and what a fall of oxygen means."""

from collections.abc import Collection, Sequence
from fractions import Fraction

from builder.base.record import dataclass
from builder.figures.ledger import Ledger
from builder.pages.blocks import Axis, Chart, Line, Mark
from builder.pages.handbook.labels import alarm_word
from builder.pages.translator import Translator
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.sensors import FLAMMABLE

DESCRIPTION = (
    "From the reading go up to the line of the gas, then left to what is really there; the thin line is what a display "
    "without error would show."
)
MOST = 7
"""Lines that can still be told apart, beside the one to compare with."""


def reading_charts(speaker: Translator, ledger: Ledger, area: Area, gases: Sequence[str] = ()) -> tuple[Chart, ...]:
    """True against displayed readings in an area, for these gases or for all its hazards that have a correction."""
    shown, say, comma = shown_readings(ledger, area.id), speaker.text, speaker.wording.comma
    named = gases or [hazard.gas.value for hazard in area.hazards]
    lines = [line for gas in named for line in _line(speaker, ledger, area, gas, shown)]
    if not lines:
        return ()
    guide = Line(say("as displayed"), tuple((one.key, one.key) for one in shown), from_zero=True, guide=True)
    rule = keyed.RULE(area=area.id, quantity="flammable")
    return tuple(
        Chart(
            title=f"{say('What the flammable display means')}{comma}{speaker.named(area)}",
            description=say(DESCRIPTION),
            x=Axis(say("Display shows"), "%LEL"),
            y=Axis(say("Really there"), "%LEL"),
            lines=(*lines[start : start + MOST], guide),
            marks=(Mark(rule, say("Rule")),) if rule in ledger else (),
            uprights=tuple(Mark(one.key, alarm_word(one.alarm, say, FLAMMABLE), "alarm") for one in shown if one.alarm),
            comma=comma,
        )
        for start in range(0, len(lines), MOST)
    )


@dataclass(frozen=True, slots=True)
class ShownReading:
    """A displayed reading that is corrected: one that the site asks for, or one at which an alarm sounds."""

    key: str
    """Of its figure."""
    at: Fraction
    """%LEL."""
    alarm: str = ""
    """``low`` or ``high`` where an alarm sounds at it."""

    def true(self, area: str, gas: str) -> str:
        """Key of what is really there of a gas."""
        if self.alarm:
            return keyed.SETPOINT_TRUE(area=area, gas=gas, alarm=self.alarm)
        return keyed.READING_TRUE(area=area, gas=gas, **(keyed.READING.read(self.key) or {}))


def shown_readings(ledger: Ledger, area: str, only: Collection[str] = ()) -> tuple[ShownReading, ...]:
    """Readings that are corrected, rising; both alarms of the area are always among them.

    :param only: keys of the readings that are asked for; all of the site's where none is.
    """
    alarms = (
        (alarm, ledger.get(keyed.SETPOINT(area=area, channel=FLAMMABLE, alarm=alarm))) for alarm in ("low", "high")
    )
    found = [ShownReading(figure.key, figure.rounded, alarm) for alarm, figure in alarms if figure is not None]
    taken = {one.at for one in found}
    readings = (
        one
        for one in ledger.under(keyed.READING.start())
        if keyed.READING.read(one.key) and (not only or one.key in only)
    )
    found += (ShownReading(one.key, one.rounded) for one in readings if one.rounded not in taken)
    return tuple(sorted(found, key=lambda one: one.at))


def _line(speaker: Translator, ledger: Ledger, area: Area, gas: str, shown: Sequence[ShownReading]) -> tuple[Line, ...]:
    points = tuple((one.key, key) for one in shown if (key := one.true(area.id, gas)) in ledger)
    return (Line(speaker.gas(gas), points, from_zero=True, exact=True),) if points else ()


LEVELS = (("23-5", "Too much above"), ("20-9", "Clean air"), ("19-5", "Too little below"))


def displacement_chart(ledger: Ledger) -> Chart | None:
    """Oxygen left against the gas that came in, up to nothing but that gas."""
    found = sorted(ledger.under(keyed.OXYGEN_AFTER.start()), key=lambda figure: -figure.rounded)
    if not found:
        return None
    points = tuple((figure.inputs[0].figure, figure.key) for figure in found)
    marks = ((keyed.OXYGEN_DISPLAY(n=level), label) for level, label in LEVELS)
    return Chart(
        title="Oxygen left when another gas comes in",
        description="Go up from the share of the other gas to the line, then left to the oxygen that is left: a small "
        "fall of oxygen stands for much gas.",
        x=Axis("Other gas in the air", "%vol"),
        y=Axis("Oxygen", "%vol"),
        lines=(Line("Oxygen left", points),),
        marks=tuple(Mark(key, label) for key, label in marks if key in ledger),
    )
