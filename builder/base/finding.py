"""The record of something that a computation proved wrong or worth telling."""

from enum import Enum

from builder.base.record import dataclass
from builder.base.where import Where


class Severity(Enum):
    """How much a finding weighs; a ``stop`` refuses a release."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """0 for the gravest; used to sort."""
        return {"stop": 0, "warn": 1, "note": 2}[self.value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One fault shown by figures, with the line to mend and the rule behind it."""

    rule: str
    """Id of the rule that found it, as in ``alarm-above-limit``."""
    severity: Severity
    """Its weight."""
    message: str
    """What is wrong, in one or two sentences, numbers as printed."""
    where: Where
    """The content line to mend."""
    figures: tuple[str, ...] = ()
    """Keys of the figures that show it."""
    source: str = ""
    """The published rule or practice behind it."""
    mend: str = ""
    """What would put it right."""
    subject: str = ""
    """What it is about, as a reference such as ``area:wet-well``."""
    touches: tuple[str, ...] = ()
    """Everything it holds for, as references, where one fault is shared: the pages of all of them show it."""

    lines: tuple[Where, ...] = ()
    """Every line that shows it, where one cause stands behind several; the first is ``where``."""

    def about(self, reference: str) -> bool:
        """Whether it belongs on the page of a thing."""
        return self.subject == reference or reference in self.touches
