"""Calibration gas: what is certified, how much is left, until when it may be used."""

from collections.abc import Iterable, Mapping
from datetime import date

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here, made, record, under, words
from builder.program.faults import Faults
from builder.program.reading import Fields
from builder.reference.library import LEL_BASES

BALANCES = ("air", "nitrogen")
DEMAND_FLOW, FIXED_FLOW = REGULATORS = ("demand-flow", "fixed-flow")
"""A pump draws what it needs through a demand flow regulator; one of fixed flow pushes gas at a diffusion unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One certified component."""

    label: Given[Quantity] | None = asked(Fields.maybe_quantity, "%LEL", above=True)
    """The %LEL printed on the bottle, if any."""
    label_basis: Given[str] | None = asked(Fields.maybe_text)
    """LEL table of that label."""
    gas: Given[str] = asked(Fields.reference, "gas")
    value: Given[Quantity] = asked(Fields.quantity, "%vol", "ppm", above=True)
    """Certified content, %vol or ppm."""
    uncertainty: Given[Quantity] = asked(Fields.quantity, "%")
    """Relative, of the value."""


def _component(fields: Fields) -> Component:
    part = record(Component)(fields)
    if (part.label is None) != (part.label_basis is None):
        fields.faults.lacks(fields.where, "only one of label and label-basis", "both, or neither")
    basis = part.label_basis
    if basis is not None and basis.value not in LEL_BASES:
        fields.faults.choice(basis.where, f"label-basis {basis.value!r}", "one of " + ", ".join(LEL_BASES))
    return part


def _components(fields: Fields) -> tuple[Component, ...]:
    made = fields.parts("components", "component", _component)
    fields.faults.refuse_twins((part.gas for part in made), "component {!r} stands twice", "each gas once")
    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Cylinder:
    """One bottle."""

    id: str = made(lambda part: part.marking("cylinder").value)
    location: str = asked(words)
    lot: Given[str] = asked(Fields.text)
    expires: Given[date] = asked(Fields.day)
    certificate: Given[str] = asked(Fields.text)
    balance: Given[str] = asked(Fields.choice, BALANCES)
    components: tuple[Component, ...] = made(_components)
    volume: Given[Quantity] = asked(Fields.quantity, "L", above=True)
    pressure: Given[Quantity] = asked(Fields.quantity, "bar", above=True)
    minimum_pressure: Given[Quantity] = asked(Fields.quantity, "bar")
    flow: Given[Quantity] = asked(Fields.quantity, "L/min", above=True)
    checks: tuple[Given[str], ...] = under("for", Fields.references, "check", required=True)
    """Ids of the checks it serves."""
    measured: Given[date] | None = asked(Fields.maybe_day)
    """Day on which the pressure was read, where the site says so."""
    certified_by: Given[str] | None = asked(Fields.maybe_text)
    """Laboratory that signed the certificate."""
    certified_on: Given[date] | None = asked(Fields.maybe_day)
    regulators: tuple[Given[str], ...] = under("regulator", Fields.choices, REGULATORS)
    """Kinds of regulator that are kept for it; empty where the site does not say."""
    traceable_to: Given[str] | None = asked(Fields.maybe_text)
    """What the certified values are traceable to, in the words of the certificate."""
    gone: Given[date] | None = asked(Fields.maybe_day)
    """Day on which it left, empty or given back; it is kept for the records that name it."""
    where: Where = here("id")

    @property
    def last_day(self) -> date:
        """The last day on which a check with it proves anything."""
        return min(self.expires.value, self.gone.value) if self.gone else self.expires.value

    def component(self, gas: str) -> Component | None:
        """The component of one gas, or ``None``."""
        return next((part for part in self.components if part.gas.value == gas), None)


def read_cylinder(fields: Fields) -> Cylinder:
    """An entry of ``cylinders.yaml``."""
    cylinder = record(Cylinder)(fields)
    if cylinder.certified_on and cylinder.certified_on.value > cylinder.expires.value:
        fields.faults.add(cylinder.certified_on.where, "a certificate later than its last day", "a day up to expires")
    total = sum(magnitude(part.value.value, "%vol") for part in cylinder.components)
    if total > 100:  # noqa: PLR2004 - percent
        fields.faults.range(cylinder.where, "components that add up to more than 100 %vol", "at most 100 %vol in all")
    return cylinder


def judge_gone(cylinders: Mapping[str, Cylinder], named: Iterable[Given[str]], faults: Faults) -> None:
    """Note where something that is to be checked names a cylinder that is here no more."""
    for given in named:
        cylinder = cylinders.get(given.value)
        if cylinder and cylinder.gone:
            found = f"cylinder {given.value!r}, gone on {cylinder.gone.text} ({cylinder.gone.where})"
            faults.add(given.where, found, "a cylinder that is here")
