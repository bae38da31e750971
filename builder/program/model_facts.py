"""What a manual says of a model beside its sensors and pump: waits, cells, alarms, averages, clock, relay of alarms."""

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields

CELLS = ("rechargeable", "primary")
WAYS = ("light", "sound", "vibration")
WHEN_FULL = ("overwrites", "stops")
NOBODY = "nobody"
"""Whom an alarm reaches that only the wearer's own unit gives."""
TIMES = ("s", "min", "h")


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmUp:
    """Until when a reading is none."""

    switched_on: Given[Quantity]
    """After it was switched on."""
    after_jump: Given[Quantity] | None
    """After it came into air that is much warmer or colder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """What a model takes its power from."""

    kind: Given[str]
    """One of ``CELLS``."""
    type: Given[str]
    change_at: Given[str]
    """Where they may be changed or charged."""
    runtime: Given[Quantity] | None = None
    """Of cells that are taken instead of its own, whose runtime the battery states."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmModes:
    """How alarms show, and how they end."""

    latching: Given[str]
    """In words: which alarms stay until they are acknowledged, and how that is done."""
    ways: tuple[Given[str], ...]
    """Of ``WAYS``, those that are switched on."""
    loudness: Given[Quantity] | None
    where: Where
    latches: bool | None = None
    """Whether an alarm stays until it is acknowledged; ``None`` where it is said in words alone."""
    delay: Given[Quantity] | None = None
    """How long a reading is beyond the setpoint before the alarm sounds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Averages:
    """Over what its averages go."""

    twa_over: Given[Quantity]
    stel_over: Given[Quantity]
    start_again: Given[str]
    """In words: when averages and extremes start again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """The clock of the data log."""

    zone: Given[str]
    drift: Given[Quantity]
    """In a month, at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay:
    """How an alarm reaches others."""

    to: Given[str]
    """Whom; ``nobody`` where only the wearer's unit gives it."""
    by: Given[str] | None
    within: Given[Quantity] | None
    answered_within: Given[Quantity] | None
    """Time in which whoever receives it acts on it."""
    help_within: Given[Quantity] | None
    """Time in which help is at the farthest place, from then on."""
    lost_after: Given[Quantity] | None
    """Time after which a lost signal is told."""
    test: Given[str] | None

    @property
    def reaches(self) -> bool:
        """Whether anybody but the wearer hears of an alarm."""
        return self.to.value != NOBODY


def read_warm_up(fields: Fields) -> WarmUp:
    """``warm-up`` of a model."""
    return WarmUp(
        switched_on=fields.quantity("switched-on", *TIMES, above=True),
        after_jump=fields.maybe_quantity("after-jump", *TIMES, above=True),
    )


def read_cells(battery: Fields) -> tuple[Cells, ...]:
    """The model's own cells, and those taken instead; none where the battery says nothing of them."""
    made: list[Cells] = []
    if "cells" in battery:
        made.append(_cells(battery, own=True))
    else:
        for key in ("cells", "type", "change-at"):
            battery.take(key)
    other = battery.maybe_part("instead", lambda fields: _cells(fields, own=False), "cells taken instead")
    return (*made, other) if other else tuple(made)


def _cells(fields: Fields, *, own: bool) -> Cells:
    return Cells(
        kind=fields.choice("cells", CELLS),
        type=fields.text("type"),
        change_at=fields.text("change-at"),
        runtime=None if own else fields.quantity("runtime", "h", above=True),
    )


def read_alarm_modes(fields: Fields) -> AlarmModes:
    """``alarms`` of a model."""
    return AlarmModes(
        latching=fields.text("latching"),
        ways=fields.choices("ways", WAYS, required=True),
        loudness=fields.maybe_quantity("loudness", "dB(A)", above=True),
        where=fields.where,
        latches=fields.yes("latches") if "latches" in fields else None,
        delay=fields.maybe_quantity("delay", "s"),
    )


def read_averages(fields: Fields) -> Averages:
    """``averages`` of a model."""
    return Averages(
        twa_over=fields.quantity("twa-over", "h", above=True),
        stel_over=fields.quantity("stel-over", "min", above=True),
        start_again=fields.text("start-again"),
    )


def read_clock(fields: Fields) -> Clock:
    """``clock`` of a data log."""
    return Clock(zone=fields.text("zone"), drift=fields.quantity("drift", "s", "min"))


def read_relay(fields: Fields) -> Relay:
    """``relay`` of a model."""
    to = fields.text("to")
    made = Relay(
        to=to,
        within=fields.maybe_quantity("within", *TIMES, above=True),
        answered_within=fields.maybe_quantity("answered-within", *TIMES, above=True),
        help_within=fields.maybe_quantity("help-within", *TIMES, above=True),
        lost_after=fields.maybe_quantity("lost-after", *TIMES, above=True),
        by=fields.maybe_text("by"),
        test=fields.maybe_text("test"),
    )
    if made.reaches and (made.within is None or made.answered_within is None):
        found = f"a relay to {to.text!r} without within or answered-within"
        fields.faults.lacks(to.where, found, "both times, or to: nobody")
    return made
