"""How long the site keeps what, by its own policy."""

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here, identity, record
from builder.program.interval import Interval
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Retention:
    """One kind of record and how long it is kept."""

    id: str = identity("retention")
    keep: Given[Interval] | None = asked(Fields.maybe_interval)
    """``None`` where it is kept until something happens, see ``until``."""
    until: Given[str] | None = asked(Fields.maybe_text)
    """What ends it, as in ``the unit is scrapped``, alone or beside ``keep``."""
    what: Given[str] = asked(Fields.text)
    rule: Given[str] = asked(Fields.text)
    """The rule or policy it follows."""
    source: Given[str] | None = asked(Fields.maybe_text)
    where: Where = here("id")


def read_retention(fields: Fields) -> Retention:
    """An entry of ``retention.yaml``."""
    made = record(Retention)(fields)
    if made.keep is None and made.until is None and fields.usable:
        fields.faults.lacks(fields.where, "neither keep nor until", "keep: 3 years, or until: the unit is scrapped")
    return made
