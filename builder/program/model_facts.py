"""What a manual says of a model beside its sensors and pump: waits, cells, alarms, averages, clock, relay of alarms."""

from dataclasses import replace

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here, made, record, under
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

    switched_on: Given[Quantity] = asked(Fields.quantity, *TIMES, above=True)
    """After it was switched on."""
    after_jump: Given[Quantity] | None = asked(Fields.maybe_quantity, *TIMES, above=True)
    """After it came into air that is much warmer or colder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cells:
    """What a model takes its power from."""

    kind: Given[str] = under("cells", Fields.choice, CELLS)
    type: Given[str] = asked(Fields.text)
    change_at: Given[str] = asked(Fields.text)
    """Where they may be changed or charged."""
    runtime: Given[Quantity] | None = None
    """Of cells that are taken instead of its own, whose runtime the battery states."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmModes:
    """How alarms show, and how they end."""

    latching: Given[str] = asked(Fields.text)
    """In words: which alarms stay until they are acknowledged, and how that is done."""
    ways: tuple[Given[str], ...] = asked(Fields.choices, WAYS, required=True)
    """Of ``WAYS``, those that are switched on."""
    loudness: Given[Quantity] | None = asked(Fields.maybe_quantity, "dB(A)", above=True)
    where: Where = here()
    latches: bool | None = made(lambda part: part.yes("latches") if "latches" in part else None)
    """Whether an alarm stays until it is acknowledged; ``None`` where it is said in words alone."""
    delay: Given[Quantity] | None = asked(Fields.maybe_quantity, "s")
    """How long a reading is beyond the setpoint before the alarm sounds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Averages:
    """Over what its averages go."""

    twa_over: Given[Quantity] = asked(Fields.quantity, "h", above=True)
    stel_over: Given[Quantity] = asked(Fields.quantity, "min", above=True)
    start_again: Given[str] = asked(Fields.text)
    """In words: when averages and extremes start again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clock:
    """The clock of the data log."""

    zone: Given[str] = asked(Fields.text)
    drift: Given[Quantity] = asked(Fields.quantity, "s", "min")
    """In a month, at most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay:
    """How an alarm reaches others."""

    to: Given[str] = asked(Fields.text)
    """Whom; ``nobody`` where only the wearer's unit gives it."""
    within: Given[Quantity] | None = asked(Fields.maybe_quantity, *TIMES, above=True)
    answered_within: Given[Quantity] | None = asked(Fields.maybe_quantity, *TIMES, above=True)
    """Time in which whoever receives it acts on it."""
    help_within: Given[Quantity] | None = asked(Fields.maybe_quantity, *TIMES, above=True)
    """Time in which help is at the farthest place, from then on."""
    lost_after: Given[Quantity] | None = asked(Fields.maybe_quantity, *TIMES, above=True)
    """Time after which a lost signal is told."""
    by: Given[str] | None = asked(Fields.maybe_text)
    test: Given[str] | None = asked(Fields.maybe_text)

    @property
    def reaches(self) -> bool:
        """Whether anybody but the wearer hears of an alarm."""
        return self.to.value != NOBODY


def read_cells(battery: Fields) -> tuple[Cells, ...]:
    """The model's own cells, and those taken instead; none where the battery says nothing of them."""
    own: list[Cells] = []
    if "cells" in battery:
        own.append(record(Cells)(battery))
    else:
        for key in ("cells", "type", "change-at"):
            battery.take(key)
    other = battery.maybe_part("instead", _instead, "cells taken instead")
    return (*own, other) if other else tuple(own)


def _instead(fields: Fields) -> Cells:
    return replace(record(Cells)(fields), runtime=fields.quantity("runtime", "h", above=True))


def read_relay(fields: Fields) -> Relay:
    """``relay`` of a model."""
    relay = record(Relay)(fields)
    if relay.reaches and (relay.within is None or relay.answered_within is None):
        found = f"a relay to {relay.to.text!r} without within or answered-within"
        fields.faults.lacks(relay.to.where, found, "both times, or to: nobody")
    return relay
