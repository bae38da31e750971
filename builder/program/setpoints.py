"""Alarm setpoints: what each channel is set to in each area, why, and what to do when it sounds."""

from collections.abc import Mapping
from dataclasses import field
from datetime import date
from itertools import product

from builder.base.nearest import near
from builder.base.quantity import Quantity, quantity, same_dimension
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node, Scalar
from builder.program.carry import ROLES
from builder.program.declared import asked, record
from builder.program.faults import Faults
from builder.program.interval import Interval
from builder.program.limit_lists import LIMIT_LIST
from builder.program.localized import localized_text, maybe_localized_text
from builder.program.models import READS_IN
from builder.program.reading import Fields, records_of
from builder.program.sensors import CHANNEL, FLAMMABLE, OXYGEN, channel_units
from builder.program.settings_access import SettingsAccess
from builder.program.values import written_unit
from builder.program.wanted_settings import WantedSettings, read_wanted
from builder.reference.limits import LIMIT_KINDS

ALARMS = ("low", "high", "twa", "stel")
RESCUE = "rescue"
ENTRANT = "entrant"
BY_RULE = (FLAMMABLE, OXYGEN)
"""Channels whose alarms protect the strictest rule of the place; any other names an exposure limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """One alarm of one channel."""

    name: str
    """low, high, twa or stel."""
    value: Given[Quantity]
    """The value as written."""
    true_value: bool
    """True when ``value`` is what is really there, so the display value is computed through the worst factor."""
    protects: Given[str] | None
    """``LIST.KIND`` of the exposure limit, for toxic and vapour channels."""
    protects_gas: Given[str] | None
    """Gas whose limit that is, where it is not the channel's own."""
    action: Given[str]
    """What an entrant does when it sounds."""
    actions: Mapping[str, Given[str]] = field(default_factory=dict)
    """What others do, by role, where that is not the same."""

    def action_of(self, role: str) -> Given[str] | None:
        """What somebody of a role does; ``None`` for a rescuer of whom nothing is said.

        Who carries a detector where the entrant does, does as he does. A rescuer on air is not ordered out by an
        entrant's words: he would leave the casualty, or learn not to read his card.
        """
        return self.actions.get(role) or (None if role == RESCUE else self.action)


@dataclass(frozen=True, slots=True, kw_only=True)
class Setpoint:
    """The alarms of one channel in one or more areas."""

    areas: tuple[Given[str], ...] | None
    """Area ids, or ``None`` for every area that no other entry names for this channel."""
    channel: Given[str]
    reason: Given[str]
    alarms: Mapping[str, Alarm]
    where: Where

    def alarm(self, name: str) -> Alarm | None:
        """One alarm by name."""
        return self.alarms.get(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetpointReview:
    """The review of all setpoints together."""

    reviewed: Given[date] = asked(Fields.day)
    review_every: Given[Interval] = asked(Fields.interval)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetpointFile:
    """All that setpoints.yaml says."""

    setpoints: tuple[Setpoint, ...]
    review: SetpointReview | None
    wanted: tuple[WantedSettings, ...]
    access: SettingsAccess | None


def read_setpoints(node: Node | None, faults: Faults) -> SetpointFile:
    """The setpoints and what stands beside them; an area with a channel named twice is a fault."""
    return Fields(node, faults, "a file with a list of setpoints").wholly(_file)


def _file(root: Fields) -> SetpointFile:
    listed = records_of(root.need("setpoints"), root.faults, "setpoints", "setpoint")
    made = tuple(fields.wholly(_setpoint) for fields in listed)
    said = [root.take(key) for key in ("reviewed", "review-every")]
    _once_each(made, root.faults)
    return SetpointFile(
        setpoints=made,
        review=record(SetpointReview)(root) if any(said) else None,
        wanted=read_wanted(root),
        access=root.part("access", record(SettingsAccess)) if root.take("access") else None,
    )


def _once_each(setpoints: tuple[Setpoint, ...], faults: Faults) -> None:
    seen: dict[tuple[str, str], Where] = {}
    for setpoint in setpoints:
        names = ["all"] if setpoint.areas is None else [given.value for given in setpoint.areas]
        for name in names:
            key = (name, setpoint.channel.value)
            if key in seen and key[1]:
                found = f"channel {key[1]!r} set twice for {name!r} (first at {seen[key]})"
                faults.twice(setpoint.where, found, "one entry a channel and area")
            seen.setdefault(key, setpoint.where)


def _setpoint(fields: Fields) -> Setpoint:
    node = fields.take("areas")
    everywhere = isinstance(node, Scalar) and node.text == "all"
    channel = fields.reference("channel", CHANNEL)
    alarms: dict[str, Alarm] = {}
    for name in ALARMS:
        part = fields.maybe_inner(name, f"{name} alarm")
        if part is not None and part.usable:
            alarms[name] = _alarm(part, name, channel.value)
            part.close()
    _rising(fields, alarms)
    if not any(name in fields for name in ALARMS):
        fields.faults.lacks(
            fields.where, f"no alarm for channel {channel.value!r}", f"one or more of {', '.join(ALARMS)}"
        )
    return Setpoint(
        areas=None if everywhere else fields.references("areas", "area", required=True),
        channel=channel,
        reason=fields.text("reason"),
        alarms=alarms,
        where=fields.where,
    )


def _rising(fields: Fields, alarms: Mapping[str, Alarm]) -> None:
    low, high = alarms.get("low"), alarms.get("high")
    if low is None or high is None or low.true_value != high.true_value:
        return
    if same_dimension(low.value.value, written_unit(high.value, READS_IN)) and (low.value.value > high.value.value):
        found = f"low alarm at {low.value.text!r} above the high alarm at {high.value.text!r}"
        fields.faults.add(low.value.where, found, "a low alarm at or below the high alarm")


def _alarm(fields: Fields, name: str, channel: str) -> Alarm:
    units = channel_units(channel, fields.faults)
    given = fields.maybe_quantity("set", *units, above=True)
    true = fields.maybe_quantity("true", *units, above=True)
    if (given is None) == (true is None):
        found = f"{name} alarm with {'neither set nor' if given is None else 'both set and'} true"
        fields.faults.add(fields.where, found, "exactly one of set and true")
    if name in ("twa", "stel") and channel in BY_RULE:
        fields.faults.add(fields.where, f"{name} alarm on the {channel} channel", "low and high; no average has a rule")
    value = given or true or Given(quantity(1, units[0]), fields.where, "")
    return Alarm(
        name=name,
        value=value,
        true_value=given is None and true is not None,
        protects=_protects(fields, name, channel),
        protects_gas=_protects_gas(fields, channel),
        action=localized_text(fields, "action"),
        actions=_actions(fields),
    )


def _actions(fields: Fields) -> dict[str, Given[str]]:
    """What others than the entrant do."""
    part = fields.maybe_inner("actions", "actions of others than the entrant")
    if part is None:
        return {}
    said = {role: maybe_localized_text(part, role) for role in ROLES if role != ENTRANT}
    part.close()
    return {role: text for role, text in said.items() if text is not None}


def _protects(fields: Fields, name: str, channel: str) -> Given[str] | None:
    given = fields.maybe_text("protects")
    if channel in BY_RULE:
        if given is not None:
            found = f"protects on the {channel} channel"
            fields.faults.add(given.where, found, "nothing: the strictest rule of the place and activities is used")
        return None
    if given is None and not fields.faults.knows(CHANNEL, channel):
        return None
    if given is None:
        allowed = "protects: LIST.KIND, such as osha.ceiling"
        fields.faults.lacks(fields.where, f"{name} alarm of {channel!r} names no limit", allowed)
        return None
    listed, _, kind = given.value.partition(".")
    lists = fields.faults.names(LIMIT_LIST)
    if (lists is not None and listed not in lists) or kind not in LIMIT_KINDS:
        known = ", ".join(fields.faults.defined(LIMIT_LIST))
        allowed = f"LIST.KIND with list {known} and kind {', '.join(LIMIT_KINDS)}"
        names = list(map(".".join, product(fields.faults.defined(LIMIT_LIST), LIMIT_KINDS)))
        close = near(given.value if kind else f".{listed}", names)
        fields.faults.choice(given.where, f"protects {given.value!r}", allowed, close)
        return None
    return given


def _protects_gas(fields: Fields, channel: str) -> Given[str] | None:
    given = fields.maybe_reference("protects-gas", "gas")
    if given is not None and channel in BY_RULE:
        found = f"protects-gas on the {channel} channel"
        fields.faults.add(given.where, found, "nothing: the strictest rule of the place and activities is used")
    return given
