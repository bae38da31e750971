"""What each channel shows in clean air, how far off that is still left alone, and from where on nobody zeroes it."""

from collections.abc import Iterator

from builder.base.quantity import Quantity
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields
from builder.program.sensors import channel_units


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanAir:
    """One channel in clean air."""

    shows: Given[Quantity]
    within: Given[Quantity]
    """So far off nothing is changed."""
    refused_beyond: Given[Quantity]
    """Farther off nobody zeroes it: air or sensor is at fault."""
    where: Where


def read_clean_air(fields: Fields, kind: str) -> dict[str, CleanAir]:
    """``clean-air`` of a check, by channel; of a zero alone."""
    made = dict(_channels(fields))
    if made and kind != "zero":
        fields.faults.add(
            fields.where_of("clean-air"), f"clean-air on a check of kind {kind!r}", "a check of kind zero"
        )
    return made


def _channels(fields: Fields) -> Iterator[tuple[str, CleanAir]]:
    for key, node in fields.by_reference("clean-air", "channel"):
        part = Fields(node, fields.faults, f"clean air of {key.text}")
        before = len(fields.faults.problems)
        units = channel_units(key.text, fields.faults)
        made = CleanAir(
            shows=part.quantity("shows", *units),
            within=part.quantity("within", *units, above=True),
            refused_beyond=part.quantity("refused-beyond", *units, above=True),
            where=part.where,
        )
        part.close()
        if len(fields.faults.problems) == before and made.refused_beyond.value < made.within.value:
            found = f"refused-beyond {made.refused_beyond.text!r} inside within {made.within.text!r}"
            fields.faults.add(made.refused_beyond.where, found, "at least what is left alone")
        yield key.text, made
