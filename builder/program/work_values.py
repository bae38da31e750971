"""The site's own values at which people go in and hot work starts or stops, and how often air is tested again."""

from collections.abc import Iterator, Mapping
from dataclasses import field

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields
from builder.program.sensors import OXYGEN, channel_units

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


def read_entry(fields: Fields | None) -> WorkValues | None:
    """``entry`` of the site."""
    if fields is None:
        return None
    made = WorkValues(start=dict(_spans(fields, "accept")), retest_every=_retest(fields))
    fields.close()
    return made


def read_hot_work(fields: Fields | None) -> WorkValues | None:
    """``hot-work`` of the site."""
    if fields is None:
        return None
    made = WorkValues(
        start=dict(_spans(fields, "start")),
        stop=dict(_stops(fields)),
        retest_every=_retest(fields),
        watch=fields.quantity("watch", *TIMES, above=True),
    )
    fields.close()
    return made


def _retest(fields: Fields) -> Given[Quantity]:
    return fields.quantity("retest-every", *TIMES, above=True)


def _spans(fields: Fields, key: str) -> Iterator[tuple[str, Span]]:
    for name, node in fields.pairs(key, required=True):
        fields.faults.refer("channel", Given(name.text, name.where, name.text))
        part = Fields(node, fields.faults, f"{key} of {name.text}")
        units = channel_units(name.text, fields.faults)
        low = part.quantity("from", *units) if name.text == OXYGEN else None
        yield name.text, Span(low=low, high=part.quantity("to", *units), where=part.where)
        part.close()


def _stops(fields: Fields) -> Iterator[tuple[str, Given[Quantity]]]:
    part = fields.maybe_inner("stop", "stop")
    if part is None:
        return
    for name, _ in part.node.entries:
        fields.faults.refer("channel", Given(name.text, name.where, name.text))
        yield name.text, part.quantity(name.text, *channel_units(name.text, fields.faults), above=True)
    part.close()
