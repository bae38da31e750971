"""What somebody at the site stands for by name: values that a starter filled in, and guard rails passed on purpose."""

from datetime import date

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here, record
from builder.program.reading import Fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """Values that came with a starter, and who confirmed them once they did."""

    what: Given[str] = asked(Fields.text)
    """As in "alarm setpoints in setpoints.yaml"."""
    against: Given[str] = asked(Fields.text)
    """What they are to be compared with."""
    by: Given[str] | None = asked(Fields.maybe_text)
    on: Given[date] | None = asked(Fields.maybe_day)
    where: Where = here()

    @property
    def confirmed(self) -> bool:
        """Whether somebody stands for them."""
        return self.by is not None and self.on is not None


def read_confirmation(fields: Fields) -> Confirmation:
    """An entry of ``confirm.yaml``."""
    made = record(Confirmation)(fields)
    if (made.by is None) != (made.on is None):
        fields.faults.add(fields.where, "by without on, or on without by", "the name and the day, or neither")
    return made


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """One finding that somebody answers for."""

    rule: Given[str] = asked(Fields.text)
    """Id of the rule that finds it."""
    about: Given[str] = asked(Fields.text)
    """What the finding is about, as a reference such as ``area:wet-well``."""
    reason: Given[str] = asked(Fields.text)
    by: Given[str] = asked(Fields.text)
    """Name of who answers for it."""
    on: Given[date] = asked(Fields.day)
    review: Given[date] = asked(Fields.day)
    """Last day on which it holds without being looked at again."""
    where: Where = here()


def read_acceptance(fields: Fields) -> Acceptance:
    """An entry of ``accepted.yaml``."""
    made = record(Acceptance)(fields)
    if made.review.value < made.on.value:
        fields.faults.add(made.review.where, f"review on {made.review.text}, before {made.on.text}", "a later day")
    return made
