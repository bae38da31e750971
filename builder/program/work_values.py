"""The site's own values at which people go in and hot work starts or stops, and how often air is tested again."""

from collections.abc import Iterator, Mapping
from dataclasses import field

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields
from builder.program.sensors import OXYGEN, channel_units
from builder.program.values import given_of

TIMES = ("min", "h")


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From where to where a reading is accepted; a rising gas has no lower end."""

    low: Given[Quantity] | None
    high: Given[Quantity]
    where: Where


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkValues:
    """What holds for one kind of work."""

    start: Mapping[str, Span]
    """By channel: readings at which it may begin."""
    stop: Mapping[str, Given[Quantity]] = field(default_factory=dict)
    """By channel: the reading at which it stops, below the alarms or at them; of hot work."""
    retest_every: Given[Quantity]
    watch: Given[Quantity] | None = None
    """How long the fire watch stays after the last flame; of hot work."""


def read_entry(fields: Fields) -> WorkValues:
    """``entry`` of the site."""
    return WorkValues(start=dict(_spans(fields, "accept")), retest_every=_retest(fields))


def read_hot_work(fields: Fields) -> WorkValues:
    """``hot-work`` of the site."""
    return WorkValues(
        start=dict(_spans(fields, "start")),
        stop=fields.maybe_part("stop", _stops) or {},
        retest_every=_retest(fields),
        watch=fields.quantity("watch", *TIMES, above=True),
    )


def _retest(fields: Fields) -> Given[Quantity]:
    return fields.quantity("retest-every", *TIMES, above=True)


def _spans(fields: Fields, key: str) -> Iterator[tuple[str, Span]]:
    for name, node in fields.by_reference(key, "channel", required=True):
        part = Fields(node, fields.faults, f"{key} of {name.text}")
        units = channel_units(name.text, fields.faults)
        low = part.quantity("from", *units) if name.text == OXYGEN else None
        yield name.text, Span(low=low, high=part.quantity("to", *units), where=part.where)
        part.close()


def _stops(fields: Fields) -> dict[str, Given[Quantity]]:
    named = [fields.faults.refer("channel", given_of(name)).value for name, _ in fields.node.entries]
    return {name: fields.quantity(name, *channel_units(name, fields.faults), above=True) for name in named}
