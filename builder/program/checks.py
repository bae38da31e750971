"""The check plan: kinds of check, how often, and what passes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.base.quantity import Quantity
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.interval import Interval, interval_of
from builder.program.reading import Faults, Fields, each
from builder.program.sensors import channel_units

KINDS = ("bump-test", "calibration-check", "calibration", "inspection", "zero", "flow-block")
WITH_GAS = ("bump-test", "calibration-check", "calibration")
GUARDS = ("none", "cylinder-uncertainty")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """What may differ from the expected display: the greater of an absolute and a relative part."""

    absolute: Given[Quantity] | None
    relative: Given[Quantity] | None
    """Percent of the expected display."""
    where: Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One kind of check in the plan."""

    id: str
    name: str
    kind: str
    interval: Given[Interval]
    reason: Given[str]
    source: Given[str]
    due_soon: Given[Interval] | None
    gas_time: Given[Quantity] | None
    alarms_within: Given[Quantity] | None
    window: Mapping[str, Tolerance]
    """By channel."""
    guard: str
    where: Where

    @property
    def uses_gas(self) -> bool:
        """Whether a cylinder is needed."""
        return self.kind in WITH_GAS


def read_checks(node: Node | None, faults: Faults) -> dict[str, Check]:
    """All checks by id."""
    return {check.id: check for check in each(node, faults, "checks", "check", _check)}


def _check(fields: Fields) -> Check:
    identity = fields.identity("check")
    kind = fields.choice("kind", KINDS)
    soon = fields.maybe_text("due-soon")
    check = Check(
        id=identity.value,
        name=fields.text("name").value,
        kind=kind.value,
        interval=interval_of(fields.text("interval"), fields.faults),
        reason=fields.text("reason"),
        source=fields.text("source"),
        due_soon=interval_of(soon, fields.faults, use_days=False) if soon else None,
        gas_time=fields.maybe_quantity("gas-time", "s", above=True),
        alarms_within=fields.maybe_quantity("alarms-within", "s", above=True),
        window=_window(fields),
        guard=fields.choice("guard-band", GUARDS, "none").value,
        where=identity.where,
    )
    if kind.text != kind.value:
        return check
    if check.uses_gas and check.gas_time is None:
        fields.faults.add(
            identity.where, f"check {identity.value!r} without gas-time", "gas-time for checks that use gas"
        )
    if check.uses_gas and not check.window:
        fields.faults.add(identity.where, f"check {identity.value!r} without window", "window: a tolerance a channel")
    return check


def _window(fields: Fields) -> dict[str, Tolerance]:
    made: dict[str, Tolerance] = {}
    for key, node in fields.pairs("window"):
        fields.faults.refer("channel", Given(key.text, key.where, key.text))
        part = Fields(node, fields.faults, f"tolerance of {key.text}")
        units = channel_units(key.text, fields.faults)
        absolute = part.maybe_quantity("absolute", *units, above=True)
        relative = part.maybe_quantity("relative", "%", above=True)
        if part.usable and absolute is None and relative is None:
            fields.faults.add(part.where, f"tolerance of {key.text} with no value", "absolute, relative, or both")
        made[key.text] = Tolerance(absolute=absolute, relative=relative, where=part.where)
        part.close()
    return made
