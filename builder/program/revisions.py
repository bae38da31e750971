"""What was released, by whom."""

from datetime import date
from itertools import pairwise

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.load.nodes import Node
from builder.program.declared import asked, made, record
from builder.program.faults import Faults
from builder.program.reading import Fields
from builder.reference.published import plain_day_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One release of the handbook."""

    number: Given[int] = asked(Fields.whole, least=1)
    effective: Given[date] = asked(Fields.day)
    reason: Given[str] = asked(Fields.text)
    prepared: Given[str] = asked(Fields.text)
    reviewed: Given[str] = asked(Fields.text)
    approved: Given[str] = asked(Fields.text)
    where: Where = made(lambda part: part.where_of("number"))
    reviewed_on: Given[date] | None = asked(Fields.maybe_day)
    approved_on: Given[date] | None = asked(Fields.maybe_day)

    @property
    def review(self) -> str:
        """Who reviewed it and when."""
        return _signed(self.reviewed, self.reviewed_on)

    @property
    def approval(self) -> str:
        """Who approved it and when."""
        return _signed(self.approved, self.approved_on)


def who_is_meant(text: str) -> str:
    """Who is meant, whatever the role behind the comma, spacing and capitals.

    >>> who_is_meant("A. Writer, safety lead") == who_is_meant("a.  writer")
    True
    """
    return " ".join(text.partition(",")[0].split()).casefold()


def _signed(by: Given[str], on: Given[date] | None) -> str:
    return f"{by.value}, on {plain_day_text(on.value)}" if on else f"{by.value}; no day is told"


def read_revision(node: Node, faults: Faults) -> Revision:
    """A revision from its file."""
    revision = Fields(node, faults, "revision").wholly(record(Revision))
    days = [given for given in (revision.reviewed_on, revision.approved_on, revision.effective) if given]
    for earlier, later in pairwise(days):
        if earlier.text and later.text and later.value < earlier.value:
            found = f"{later.text} before {earlier.text}"
            faults.add(later.where, found, "reviewed, then approved, then effective")
    return revision
