"""How far a display may lie off: what a check lets pass, or what an instrument's manual promises."""

from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """The greater of an absolute part and a relative one."""

    absolute: Given[Quantity] | None
    relative: Given[Quantity] | None
    where: Where


def read_tolerance(fields: Fields, units: tuple[str, ...]) -> Tolerance:
    """One of ``absolute`` and ``relative``, or both."""
    absolute = fields.maybe_quantity("absolute", *units, above=True)
    relative = fields.maybe_quantity("relative", "%", above=True)
    if relative and magnitude(relative.value, "%") > 100:  # noqa: PLR2004 - percent
        fields.faults.range(relative.where, f"{relative.text!r} for 'relative'", "at most 100 %")
    if fields.usable and absolute is None and relative is None:
        fields.faults.lacks(fields.where, f"{fields.what} with no value", "absolute, relative, or both")
    return Tolerance(absolute=absolute, relative=relative, where=fields.where)
