"""Calibration gas: what is certified, how much is left, until when it may be used."""

from collections.abc import Iterable, Mapping
from datetime import date

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.faults import Faults
from builder.program.reading import Fields
from builder.reference.library import LEL_BASES

BALANCES = ("air", "nitrogen")
DEMAND_FLOW, FIXED_FLOW = REGULATORS = ("demand-flow", "fixed-flow")
"""A pump draws what it needs through a demand flow regulator; one of fixed flow pushes gas at a diffusion unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One certified component."""

    gas: Given[str]
    value: Given[Quantity]
    """Certified content, %vol or ppm."""
    uncertainty: Given[Quantity]
    """Relative, of the value."""
    label: Given[Quantity] | None
    """The %LEL printed on the bottle, if any."""
    label_basis: Given[str] | None
    """LEL table of that label."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """One bottle."""

    id: str
    lot: Given[str]
    expires: Given[date]
    certificate: Given[str]
    balance: Given[str]
    components: tuple[Component, ...]
    volume: Given[Quantity]
    pressure: Given[Quantity]
    minimum_pressure: Given[Quantity]
    flow: Given[Quantity]
    checks: tuple[Given[str], ...]
    """Ids of the checks it serves."""
    location: str
    where: Where
    measured: Given[date] | None = None
    """Day on which the pressure was read, where the site says so."""
    certified_by: Given[str] | None = None
    """Laboratory that signed the certificate."""
    certified_on: Given[date] | None = None
    regulators: tuple[Given[str], ...] = ()
    """Kinds of regulator that are kept for it; empty where the site does not say."""
    traceable_to: Given[str] | None = None
    """What the certified values are traceable to, in the words of the certificate."""
    gone: Given[date] | None = None
    """Day on which it left, empty or given back; it is kept for the records that name it."""

    @property
    def last_day(self) -> date:
        """The last day on which a check with it proves anything."""
        return min(self.expires.value, self.gone.value) if self.gone else self.expires.value

    def component(self, gas: str) -> Component | None:
        """The component of one gas, or ``None``."""
        return next((part for part in self.components if part.gas.value == gas), None)


def read_cylinder(fields: Fields) -> Cylinder:
    """An entry of ``cylinders.yaml``."""
    identity = fields.marking("cylinder")
    location = fields.maybe_text("location")
    cylinder = Cylinder(
        id=identity.value,
        lot=fields.text("lot"),
        expires=fields.day("expires"),
        certificate=fields.text("certificate"),
        balance=fields.choice("balance", BALANCES),
        components=_components(fields),
        volume=fields.quantity("volume", "L", above=True),
        pressure=fields.quantity("pressure", "bar", above=True),
        minimum_pressure=fields.quantity("minimum-pressure", "bar"),
        flow=fields.quantity("flow", "L/min", above=True),
        checks=fields.references("for", "check", required=True),
        location=location.value if location else "",
        measured=fields.maybe_day("measured"),
        certified_by=fields.maybe_text("certified-by"),
        certified_on=fields.maybe_day("certified-on"),
        regulators=fields.choices("regulator", REGULATORS),
        traceable_to=fields.maybe_text("traceable-to"),
        gone=fields.maybe_day("gone"),
        where=identity.where,
    )
    if cylinder.certified_on and cylinder.certified_on.value > cylinder.expires.value:
        fields.faults.add(cylinder.certified_on.where, "a certificate later than its last day", "a day up to expires")
    total = sum(magnitude(part.value.value, "%vol") for part in cylinder.components)
    if total > 100:  # noqa: PLR2004 - percent
        fields.faults.range(identity.where, "components that add up to more than 100 %vol", "at most 100 %vol in all")
    return cylinder


def judge_gone(cylinders: Mapping[str, Cylinder], named: Iterable[Given[str]], faults: Faults) -> None:
    """Note where something that is to be checked names a cylinder that is here no more."""
    for given in named:
        cylinder = cylinders.get(given.value)
        if cylinder and cylinder.gone:
            found = f"cylinder {given.value!r}, gone on {cylinder.gone.text} ({cylinder.gone.where})"
            faults.add(given.where, found, "a cylinder that is here")


def _components(fields: Fields) -> tuple[Component, ...]:
    made = fields.parts("components", "component", _component)
    fields.faults.refuse_twins((part.gas for part in made), "component {!r} stands twice", "each gas once")
    return made


def _component(fields: Fields) -> Component:
    label = fields.maybe_quantity("label", "%LEL", above=True)
    basis = fields.maybe_text("label-basis")
    if (label is None) != (basis is None):
        fields.faults.lacks(fields.where, "only one of label and label-basis", "both, or neither")
    if basis is not None and basis.value not in LEL_BASES:
        fields.faults.choice(basis.where, f"label-basis {basis.value!r}", "one of " + ", ".join(LEL_BASES))
    return Component(
        gas=fields.reference("gas", "gas"),
        value=fields.quantity("value", "%vol", "ppm", above=True),
        uncertainty=fields.quantity("uncertainty", "%"),
        label=label,
        label_basis=basis,
    )
