"""One way between all units of concentration: through the exact volume fraction, so that nothing is lost on the way."""

from __future__ import annotations

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, magnitude, quantity, unit_spelling
from builder.base.record import dataclass
from builder.figures.formulas.gas import gm3_to_vol, lel_to_vol, vol_to_gm3, vol_to_lel
from builder.figures.formulas.inputs import amount
from builder.figures.formulas.registry import formula

KINDS = {"%vol": "volume", "ppm": "volume", "ppb": "volume", "mg/m3": "mass", "g/m3": "mass", "%LEL": "share"}
"""Unit -> what it counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """A converted concentration and how it was reached."""

    value: Quantity
    """The result, in the unit asked for."""
    formulas: tuple[str, ...]
    """Ids of the formulas used, in order; empty when only the prefix of the unit changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Basis:
    molar_mass: Quantity | None
    lel: Quantity | None
    temperature: Quantity | None
    pressure: Quantity | None

    def air(self) -> tuple[Quantity, Quantity, Quantity]:
        """What a mass concentration needs; never assumed."""
        if self.molar_mass is None or self.temperature is None or self.pressure is None:
            raise OutOfRangeError("mg/m3 without molar mass, temperature or pressure", "all three given")
        return self.molar_mass, self.temperature, self.pressure

    def limit(self) -> Quantity:
        """What a share of the explosive limit needs; never assumed."""
        if self.lel is None:
            raise OutOfRangeError("%LEL without a lower explosive limit", "the limit on the basis in use given")
        return self.lel


def _to_volume(value: Quantity, kind: str, basis: _Basis) -> Quantity:
    if kind == "mass":
        return gm3_to_vol(value, *basis.air())
    if kind == "share":
        return lel_to_vol(value, basis.limit())
    amount(value, "%vol", "concentration", low=0, high=100)
    return value


def _from_volume(volume: Quantity, kind: str, basis: _Basis) -> Quantity:
    if kind == "mass":
        return vol_to_gm3(volume, *basis.air())
    if kind == "share":
        return vol_to_lel(volume, basis.limit())
    return volume


def _route(source: str, target: str) -> tuple[str, ...]:
    """Ids of the formulas between two units."""
    kinds = KINDS[source], KINDS[target]
    parts = (source if kinds[0] == "volume" else "") + ">" + (target if kinds[1] == "volume" else "")
    if kinds == ("volume", "volume"):
        small_to_large = ("gas.ppm-to-vol",) if target == "%vol" != source else ()
        return ("gas.vol-to-ppm",) if source == "%vol" != target else small_to_large
    small = "ppm" in parts or "ppb" in parts
    steps = {
        ("volume", "mass"): ("gas.molar-volume", "gas.ppm-to-mgm3" if small else "gas.vol-to-gm3"),
        ("mass", "volume"): ("gas.molar-volume", "gas.mgm3-to-ppm" if small else "gas.gm3-to-vol"),
        ("volume", "share"): (*(("gas.ppm-to-vol",) if small else ()), "gas.vol-to-lel"),
        ("share", "volume"): ("gas.lel-to-vol", *(("gas.vol-to-ppm",) if small else ())),
        ("mass", "share"): ("gas.molar-volume", "gas.gm3-to-vol", "gas.vol-to-lel"),
        ("share", "mass"): ("gas.molar-volume", "gas.lel-to-vol", "gas.vol-to-gm3"),
    }
    return steps.get(kinds, ())


def _unit(text: str) -> str:
    unit = unit_spelling(text)
    if unit not in KINDS:
        raise OutOfRangeError(f"unit {text!r} is no concentration", f"{', '.join(KINDS)}")
    return unit


@formula(
    title="Concentration in another unit",
    expression="through the volume fraction: ppm = 10 000 × %vol; mg/m³ = ppm × M / Vm; %LEL = 100 × %vol / LEL",
    source="composed of the gas formulas it names",
    valid="0 to 100 %vol; mass units 200 to 500 K and 20 to 200 kPa",
    rounding="once, from the exact value: to nearest in charts, up for a hazard, down for a limit",
)
def convert(
    value: Quantity,
    from_unit: str,
    to_unit: str,
    *,
    molar_mass: Quantity | None = None,
    lel: Quantity | None = None,
    temperature: Quantity | None = None,
    pressure: Quantity | None = None,
) -> Conversion:
    """A concentration in another unit; what the way needs must be given, nothing is assumed.

    :param value: concentration [ppm, ppb, %vol, mg/m3, g/m3 or %LEL]
    :param from_unit: unit the value is given in [text]
    :param to_unit: unit wanted [text]
    :param molar_mass: of the gas, for mass units [g/mol]
    :param lel: lower explosive limit on the basis in use, for %LEL [%vol]
    :param temperature: of the air, for mass units [°C or K]
    :param pressure: absolute, for mass units [kPa]
    :returns: the converted value and the formulas used [ppm, ppb, %vol, mg/m3, g/m3 or %LEL]

    >>> result = convert(quantity(5000, "ppm"), "ppm", "%LEL", lel=quantity(5, "%vol"))
    >>> magnitude(result.value, "%LEL"), result.formulas
    (Fraction(10, 1), ('gas.ppm-to-vol', 'gas.vol-to-lel'))
    """
    source, target = _unit(from_unit), _unit(to_unit)
    amount(value, source, "concentration", low=0)
    result = value
    if KINDS[source] != KINDS[target] or KINDS[source] == "volume":
        basis = _Basis(molar_mass=molar_mass, lel=lel, temperature=temperature, pressure=pressure)
        result = _from_volume(_to_volume(value, KINDS[source], basis), KINDS[target], basis)
    return Conversion(value=quantity(magnitude(result, target), target), formulas=_route(source, target))
