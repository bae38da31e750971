"""What replacements cost, by the site's own list; used for the forecast alone."""

from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction

from builder.base.record import dataclass
from builder.base.where import Given
from builder.program.reading import Fields
from builder.program.values import number_of, single


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Prices of one each, without a word on tax or delivery."""

    currency: str = ""
    each: Mapping[str, Given[Fraction]] = field(default_factory=dict)
    """By id of a kind of sensor, a part, a cylinder, or ``battery.MODEL``."""


def read_prices(root: Fields) -> Prices:
    """``prices.yaml``."""
    faults, each = root.faults, dict[str, Given[Fraction]]()
    for key, value in root.pairs("each", required=True):
        if not any(
            faults.knows(kind, key.text.removeprefix("battery.")) for kind in ("sensor", "part", "cylinder", "model")
        ):
            allowed = "the id of a sensor, a part or a cylinder, or battery.MODEL"
            faults.unknown(key.where, f"a price for {key.text!r}", allowed)
        elif price := single(value, faults, f"the price of {key.text!r}", "a number"):
            each[key.text] = number_of(price, faults, key.text)
    return Prices(currency=root.text("currency").value, each=each)
