"""What a manual says of a model beside its sensors and pump: waits, cells, alarms, averages, clock, relay of alarms."""

from collections.abc import Mapping

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


def read_warm_up(fields: Fields | None) -> WarmUp | None:
    """``warm-up`` of a model."""
    if fields is None:
        return None
    made = WarmUp(
        switched_on=fields.quantity("switched-on", *TIMES, above=True),
        after_jump=fields.maybe_quantity("after-jump", *TIMES, above=True),
    )
    fields.close()
    return made


def read_cells(battery: Fields) -> tuple[Cells, ...]:
    """The model's own cells, and those taken instead; none where the battery says nothing of them."""
    made: list[Cells] = []
    if "cells" in battery:
        made.append(_cells(battery, own=True))
    else:
        for key in ("cells", "type", "change-at"):
            battery.take(key)
    other = battery.maybe_inner("instead", "cells taken instead")
    if other is not None:
        made.append(_cells(other, own=False))
        other.close()
    return tuple(made)


def _cells(fields: Fields, *, own: bool) -> Cells:
    return Cells(
        kind=fields.choice("cells", CELLS),
        type=fields.text("type"),
        change_at=fields.text("change-at"),
        runtime=None if own else fields.quantity("runtime", "h", above=True),
    )


def read_alarm_modes(fields: Fields | None) -> AlarmModes | None:
    """``alarms`` of a model."""
    if fields is None:
        return None
    made = AlarmModes(
        latching=fields.text("latching"),
        ways=fields.choices("ways", WAYS, required=True),
        loudness=fields.maybe_quantity("loudness", "dB(A)", above=True),
        where=fields.where,
        latches=fields.yes("latches") if "latches" in fields else None,
        delay=fields.maybe_quantity("delay", "s"),
    )
    fields.close()
    return made


def read_averages(fields: Fields | None) -> Averages | None:
    """``averages`` of a model."""
    if fields is None:
        return None
    made = Averages(
        twa_over=fields.quantity("twa-over", "h", above=True),
        stel_over=fields.quantity("stel-over", "min", above=True),
        start_again=fields.text("start-again"),
    )
    fields.close()
    return made


def read_clock(fields: Fields | None) -> Clock | None:
    """``clock`` of a data log."""
    if fields is None:
        return None
    made = Clock(zone=fields.text("zone"), drift=fields.quantity("drift", "s", "min"))
    fields.close()
    return made


def read_relay(fields: Fields | None) -> Relay | None:
    """``relay`` of a model."""
    if fields is None:
        return None
    to = fields.text("to")
    times: Mapping[str, Given[Quantity] | None] = {
        key: fields.maybe_quantity(key, *TIMES, above=True)
        for key in ("within", "answered-within", "help-within", "lost-after")
    }
    made = Relay(
        to=to,
        by=fields.maybe_text("by"),
        within=times["within"],
        answered_within=times["answered-within"],
        help_within=times["help-within"],
        lost_after=times["lost-after"],
        test=fields.maybe_text("test"),
    )
    fields.close()
    if made.reaches and (made.within is None or made.answered_within is None):
        found = f"a relay to {to.text!r} without within or answered-within"
        fields.faults.lacks(to.where, found, "both times, or to: nobody")
    return made
