"""What a site gives the look of its pages: an accent colour, read well everywhere, and a logo."""

from builder.base.contrast import COLOUR, LEAST, least_contrast, nearest_readable
from builder.base.nearest import near
from builder.base.record import dataclass
from builder.base.where import Given
from builder.program.faults import Faults
from builder.program.reading import Fields

LIGHT, DARK = ("#ffffff", "#fbf9f4", "#f3ecdf"), ("#171614", "#23201c")
"""Grounds that the accent stands on: paper, a light screen, the word behind a draft there; a dark screen, that word."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What a site brings; empty where it leaves the look to the builder."""

    accent: str = ""
    """On paper and light screens, as ``#rrggbb``."""
    accent_dark: str = ""
    logo: bytes = b""
    """A picture that is harmless."""
    logo_kind: str = ""
    """``svg`` or ``png``."""
    logo_text: str = ""
    """What it shows, for those who do not see it."""


def read_look(fields: Fields) -> Look:
    """``look`` of the site."""
    faults, pictures = fields.faults, fields.faults.pictures
    accent, dark = fields.maybe_text("accent"), fields.maybe_text("accent-dark")
    if (accent is None) != (dark is None):
        faults.lacks(fields.where, "an accent for light or for dark screens alone", "accent and accent-dark")
    logo, words = fields.maybe_text("logo"), fields.maybe_text("logo-text")
    if logo is not None and logo.value not in pictures:
        allowed = "one of " + ", ".join(pictures) if pictures else "a picture in the folder templates"
        faults.unknown(logo.where, f"no picture templates/{logo.text}", allowed, near(logo.value, pictures))
    if (logo is None) != (words is None):
        allowed = "logo: a file in templates, and logo-text: what it shows, for those who do not see it"
        faults.lacks(fields.where, "a logo without words, or words alone", allowed)
    return Look(
        accent=_readable(accent, LIGHT, faults),
        accent_dark=_readable(dark, DARK, faults),
        logo=pictures.get(logo.value, b"") if logo else b"",
        logo_kind=logo.value.rpartition(".")[2] if logo else "",
        logo_text=words.value if words else "",
    )


def _readable(given: Given[str] | None, grounds: tuple[str, ...], faults: Faults) -> str:
    """The colour, where it is read well enough on every ground."""
    if given is None:
        return ""
    if not COLOUR.fullmatch(given.value):
        faults.choice(given.where, f"{given.text!r} is no colour", 'six digits of a hexadecimal number, as "#1d5560"')
        return ""
    colour = given.value.lower()
    reached = least_contrast(colour, grounds)
    if reached < LEAST:
        worst = min(grounds, key=lambda ground: least_contrast(colour, (ground,)))
        found = f"{given.text} on {worst} has a contrast of {int(reached * 100) / 100}:1"
        allowed = f"at least {LEAST}:1 (WCAG 2.2, 1.4.3); nearest: {nearest_readable(colour, grounds)}"
        faults.range(given.where, found, allowed)
    return colour
