"""What units of a model are to be set to, beside their alarms: latching, log interval, relay and the like."""

from collections.abc import Mapping

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.configuration_readback import OF_UNIT, fault_of
from builder.program.reading import Fields
from builder.program.values import given_of, single


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


def read_wanted(root: Fields) -> tuple[WantedSettings, ...]:
    """The entries under ``settings`` of setpoints.yaml; none where it has no such key."""
    return root.parts("settings", "settings entry", _wanted) if root.take("settings") else ()


def _wanted(fields: Fields) -> WantedSettings:
    models = fields.references("models", "model")
    if "models" in fields and not models:
        fields.faults.lacks(fields.where, "models that name none", "one or more, or no key models for all others")
    return WantedSettings(models=models or None, values=_values(fields), where=fields.where)


def _values(fields: Fields) -> dict[str, Given[str]]:
    values: dict[str, Given[str]] = {}
    for name in OF_UNIT:
        node = fields.take(name)
        said = single(node, fields.faults, repr(name), "a single value") if node else None
        if said is None:
            continue
        if fault := fault_of(name, said.text):
            fields.faults.choice(said.where, f"{said.text!r} for {name!r}", fault)
        else:
            values[name] = given_of(said)
    return values
