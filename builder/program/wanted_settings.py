"""What units of a model are to be set to, beside their alarms: latching, log interval, relay and the like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.base.nearest import near
from builder.base.where import Given, Where
from builder.load.nodes import Entries, Node, Scalar
from builder.program.configuration_readback import OF_UNIT, fault_of
from builder.program.faults import Faults
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedSettings:
    """Settings that hold for some models, or for all that no other entry names."""

    models: tuple[Given[str], ...] | None
    values: Mapping[str, Given[str]]
    """By name, as the read-back writes them; of ``clock`` how far it may be out."""
    where: Where

    def is_for(self, model: str) -> bool:
        """Whether the entry names a model."""
        return self.models is not None and any(given.value == model for given in self.models)


def read_wanted(node: Node | None, faults: Faults) -> tuple[WantedSettings, ...]:
    """The entries under ``settings`` of setpoints.yaml; none where it has no such key."""
    if not isinstance(node, Entries) or node.get("settings") is None:
        return ()
    made: list[WantedSettings] = []
    for fields in Fields(node, faults, "a file with a list of setpoints").records("settings", "settings entry"):
        models = None if fields.node.get("models") is None else fields.references("models", "model", required=True)
        made.append(WantedSettings(models=models, values=_values(fields), where=fields.where))
    return tuple(made)


def _values(fields: Fields) -> dict[str, Given[str]]:
    values: dict[str, Given[str]] = {}
    for key, node in fields.node.entries:
        if key.text == "models":
            continue
        if key.text not in OF_UNIT:
            allowed = "models, " + ", ".join(OF_UNIT)
            fields.faults.key(key.where, f"unknown setting {key.text!r}", allowed, near(key.text, OF_UNIT))
        elif not isinstance(node, Scalar):
            fields.faults.shape(node.where, f"a collection for {key.text!r}", "a single value")
        elif fault := fault_of(key.text, node.text):
            fields.faults.choice(node.where, f"{node.text!r} for {key.text!r}", fault)
        else:
            values[key.text] = Given(node.text, node.where, node.text)
    return values
