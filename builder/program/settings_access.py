"""Who keeps the way into the settings of detectors, and how; never the code itself."""

import re
from datetime import date

from builder.base.record import dataclass
from builder.base.where import Given, Where
from builder.program.declared import asked, here
from builder.program.interval import Interval
from builder.program.reading import Fields

CODE = re.compile(
    r"\d{3,}|\b(?=\w*\d)(?=\w*[a-z])\w{4,}\b|\b(?:code|pin|password|passcode)\b\s*(?:is\b|[:=])", re.IGNORECASE
)
"""What a code may be: three digits in a row, letters mixed with digits, or a word that gives it away."""
CODE_NAMES = re.compile(r"(?<![a-z])(?:access|lock|passcode|password|pass\s*word|pin|security)(?![a-z])", re.IGNORECASE)
"""Heads under which an instrument's export gives its code."""


def may_be_code(text: str) -> bool:
    """Whether a text may give an access code away.

    >>> may_be_code("sealed envelope in the safe"), may_be_code("safe, code 4471"), may_be_code("pin: in the safe")
    (False, True, True)
    """
    return CODE.search(text) is not None


def _no_code(fields: Fields, key: str) -> Given[str]:
    """A text that gives no code away; it would stand on every page and in every frozen copy."""
    given = fields.text(key)
    if may_be_code(given.value):
        found = "a text that may be the access code itself"
        fields.faults.add(given.where, found, "in words who keeps it and where, without digits, never the code itself")
    return given


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsAccess:
    """How the way into the settings is kept."""

    change_every: Given[Interval] | None = asked(Fields.maybe_interval)
    kept_by: Given[str] = asked(_no_code)
    """Who has the code, by role."""
    how: Given[str] = asked(_no_code)
    """In words, where and how it is kept."""
    changed: Given[date] = asked(Fields.day)
    """Day on which the code was last changed."""
    where: Where = here()


def names_code(name: str) -> bool:
    """Whether a setting read back is by its name an access code.

    >>> names_code("Access code"), names_code("PIN"), names_code("Pinch valve")
    (True, True, False)
    """
    return CODE_NAMES.search(name) is not None
