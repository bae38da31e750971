"""What the files of a starter have in common."""

from dataclasses import dataclass
from datetime import date

from builder.starters.trades import Trade

WORN, PUMPED = "worn", "pumped"
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


def quoted(text: str) -> str:
    """As a YAML text in double quotes."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
