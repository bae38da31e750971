"""What the files of a starter have in common."""

from datetime import date

from builder.base.record import dataclass
from builder.starters.trades import Trade

WORN, PUMPED = "worn", "pumped"
MODELS = {WORN: "Worn detector, diffusion", PUMPED: "Detector with pump"}
"""Names of the kinds of detector by their ids."""
CONFIRM = "# confirm"
"""Marks a value that somebody at the site has to stand for; ``confirm.yaml`` has the list."""
INVENTED = (
    "# Invented to begin with. Replace what is not yours; see confirm.yaml for what nobody here has confirmed yet.\n"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was asked for."""

    trade: Trade
    name: str
    place: str
    paper: str
    day: date
    inventory: str = ""
    """A table of units with the builder's own heads, to take instead of example units."""
    languages: tuple[str, ...] = ("en",)
    """Tags of what cards and pages speak; English is the first."""
    worn: bool = True
    """Whether there are detectors without a pump, to be worn."""

    @property
    def models(self) -> tuple[str, ...]:
        """Kinds of detector there are."""
        return (WORN, PUMPED) if self.worn else (PUMPED,)

    @property
    def tags(self) -> str:
        """The languages as a YAML list."""
        return f"[{', '.join(self.languages)}]"


def quoted(text: str) -> str:
    """As a YAML text in double quotes."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
