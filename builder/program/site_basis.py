"""What a site's figures rest on: which explosive limits and lists it goes by, and the air that it stands in."""

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given
from builder.program.limit_lists import LIMIT_LIST
from builder.program.reading import Fields
from builder.reference.library import LEL_BASES


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteBasis:
    """What the site chose and prints beside every number that hangs on it."""

    lel: Given[str]
    """Id of the table that defines 100 %LEL."""
    lel_reason: Given[str]
    """Why that one."""
    reference_temperature: Given[Quantity]
    """Temperature of the ppm to mg/m3 conversion of limits."""
    reference_pressure: Given[Quantity]
    """Pressure of the same."""
    limits: tuple[Given[str], ...]
    """Limit lists printed, in the site's order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ambient:
    """Where the site is: exactly one of altitude and pressure is given."""

    altitude: Given[Quantity] | None
    pressure: Given[Quantity] | None
    temperature: Given[Quantity]
    humidity: Given[Quantity] | None
    """Relative humidity, where the site states it."""


def read_basis(fields: Fields) -> SiteBasis:
    """What a site goes by, with every fault noted."""
    return SiteBasis(
        lel=fields.choice("lel", LEL_BASES),
        lel_reason=fields.text("lel-reason"),
        reference_temperature=fields.quantity("reference-temperature", "°C", least=-50),
        reference_pressure=fields.quantity("reference-pressure", "kPa", above=True),
        limits=fields.references("limits", LIMIT_LIST, required=True),
    )


def read_ambient(fields: Fields) -> Ambient:
    """Where it stands, with every fault noted."""
    ambient = Ambient(
        altitude=fields.maybe_quantity("altitude", "m", least=-500),
        pressure=fields.maybe_quantity("pressure", "kPa", above=True),
        temperature=fields.quantity("temperature", "°C", least=-60),
        humidity=fields.maybe_quantity("humidity", "%"),
    )
    if ambient.humidity is not None and magnitude(ambient.humidity.value, "%") > 100:  # noqa: PLR2004 - percent
        fields.faults.range(ambient.humidity.where, f"{ambient.humidity.text!r} for 'humidity'", "at most 100 %")
    if fields.usable and (ambient.altitude is None) == (ambient.pressure is None):
        found = "neither altitude nor pressure" if ambient.altitude is None else "both altitude and pressure"
        fields.faults.add(fields.where, f"ambient has {found}", "exactly one of altitude and pressure")
    return ambient
