"""How long the site keeps what, by its own policy."""

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.interval import Interval
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Retention:
    """One kind of record and how long it is kept."""

    id: str
    what: Given[str]
    keep: Given[Interval] | None
    """``None`` where it is kept until something happens, see ``until``."""
    until: Given[str] | None
    """What ends it, as in ``the unit is scrapped``, alone or beside ``keep``."""
    rule: Given[str]
    """The rule or policy it follows."""
    source: Given[str] | None
    where: Where


def read_retention(fields: Fields) -> Retention:
    """An entry of ``retention.yaml``."""
    identity = fields.identity("retention")
    keep, until = fields.maybe_interval("keep"), fields.maybe_text("until")
    if keep is None and until is None and fields.usable:
        fields.faults.lacks(fields.where, "neither keep nor until", "keep: 3 years, or until: the unit is scrapped")
    return Retention(
        id=identity.value,
        what=fields.text("what"),
        keep=keep,
        until=until,
        rule=fields.text("rule"),
        source=fields.maybe_text("source"),
        where=identity.where,
    )
