"""What starters know of sensors and of bottles of check gas: plain kinds, no instrument's own figures.

Every number here is a common value of its kind and no source (common practice); a starter has each one confirmed
against the manual before anything is released.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A sensor, its place in a detector, the alarms to begin with and the gas that checks it."""

    id: str
    name: str
    principle: str
    channel: str
    shows: str
    full_scale: str
    resolution: str
    t90: str
    life: str
    low: str
    """First alarm, at or below the strictest limit of every list that ships."""
    high: str
    window: str
    """Of a bump test; half of it for a calibration check."""
    checked_with: str
    """Component of a bottle, as content has it."""
    more: str = ""
    """Further lines of the sensor."""
    protects: str = ""
    """The gas whose limits its alarms keep, where that is another than what it shows."""


FLAMMABLE: Final = Kind(
    id="flammable-cell",
    name="Catalytic, flammable gas, on methane",
    principle="catalytic",
    channel="flammable",
    shows="methane",
    full_scale="100 %LEL",
    resolution="1 %LEL",
    t90="30 s",
    life="36 months",
    low="4 %LEL",
    high="9 %LEL",
    window="{absolute: 3 %LEL, relative: 20 %}",
    checked_with="{gas: methane, value: 1.1 %vol, uncertainty: 2 %}",
    more="    minimum-oxygen: 10 %vol\n    error: {absolute: 1 %LEL}\n",
)
OXYGEN: Final = Kind(
    id="oxygen-cell",
    name="Oxygen cell",
    principle="electrochemical",
    channel="oxygen",
    shows="oxygen",
    full_scale="25 %vol",
    resolution="0.1 %vol",
    t90="20 s",
    life="24 months",
    low="19.7 %vol",
    high="23.0 %vol",
    window="{absolute: 0.6 %vol}",
    checked_with="{gas: oxygen, value: 18 %vol, uncertainty: 2 %}",
    more="    error: {absolute: 0.2 %vol}\n",
)


def _cell(gas: str, name: str, full_scale: str, step: str, low: str, high: str, check: str) -> Kind:
    """An electrochemical cell for a toxic gas; all but CO2 are of this kind."""
    return Kind(
        id=f"{gas}-cell",
        name=f"{name} cell",
        principle="electrochemical",
        channel=gas,
        shows=gas,
        full_scale=full_scale,
        resolution=step,
        t90="60 s",
        life="24 months",
        low=low,
        high=high,
        window=f"{{absolute: {step}, relative: 20 %}}",
        checked_with=f"{{gas: {gas}, value: {check}, uncertainty: 5 %}}",
    )


CARBON_DIOXIDE: Final = Kind(
    id="carbon-dioxide-infrared",
    name="Carbon dioxide, infrared",
    principle="infrared",
    channel="carbon-dioxide",
    shows="carbon-dioxide",
    full_scale="50000 ppm",
    resolution="100 ppm",
    t90="45 s",
    life="60 months",
    low="4000 ppm",
    high="12000 ppm",
    window="{relative: 20 %}",
    checked_with="{gas: carbon-dioxide, value: 20000 ppm, uncertainty: 2 %}",
)
VAPOUR: Final = Kind(
    id="vapour-lamp",
    name="Photoionisation, vapours, 10.6 eV lamp",
    principle="photoionisation",
    channel="vapour",
    shows="isobutylene",
    full_scale="2000 ppm",
    resolution="0.1 ppm",
    t90="20 s",
    life="12 months",
    low="0.4 ppm",
    high="0.9 ppm",
    window="{absolute: 0.2 ppm, relative: 20 %}",
    checked_with="{gas: isobutylene, value: 10 ppm, uncertainty: 5 %}",
    protects="benzene",
    more="    lamp: 10.6 eV\n    blind-to: [methane, carbon-monoxide]\n",
)
KINDS: Final[dict[str, Kind]] = {
    "flammable": FLAMMABLE,
    "oxygen": OXYGEN,
    "hydrogen-sulfide": _cell("hydrogen-sulfide", "Hydrogen sulfide", "100 ppm", "1 ppm", "4 ppm", "8 ppm", "15 ppm"),
    "carbon-monoxide": _cell("carbon-monoxide", "Carbon monoxide", "500 ppm", "1 ppm", "15 ppm", "60 ppm", "100 ppm"),
    "carbon-dioxide": CARBON_DIOXIDE,
    "vapour": VAPOUR,
    "ammonia": _cell("ammonia", "Ammonia", "100 ppm", "1 ppm", "15 ppm", "30 ppm", "50 ppm"),
    "chlorine": _cell("chlorine", "Chlorine", "10 ppm", "0.1 ppm", "0.2 ppm", "0.4 ppm", "5 ppm"),
    "chlorine-dioxide":
        _cell("chlorine-dioxide", "Chlorine dioxide", "1 ppm", "0.01 ppm", "0.06 ppm", "0.2 ppm", "0.5 ppm"),
    "sulfur-dioxide": _cell("sulfur-dioxide", "Sulfur dioxide", "20 ppm", "0.1 ppm", "0.3 ppm", "0.8 ppm", "5 ppm"),
    "nitrogen-dioxide":
        _cell("nitrogen-dioxide", "Nitrogen dioxide", "20 ppm", "0.1 ppm", "0.3 ppm", "0.8 ppm", "5 ppm"),
    "phosphine": _cell("phosphine", "Phosphine", "10 ppm", "0.01 ppm", "0.06 ppm", "0.15 ppm", "0.3 ppm"),
}  # fmt: skip
"""By the gas that a channel is for; ``flammable`` for shares of the explosive limit, ``vapour`` for many."""
REACTIVE: Final = frozenset(
    {"chlorine", "chlorine-dioxide", "nitrogen-dioxide", "ammonia", "sulfur-dioxide", "phosphine", "vapour"}
)
"""Channels whose gases keep in bottles of their own: they react with others or are held in another balance gas."""
