"""The face of Arabic letters, which cards in Arabic alone use beside ``builder.render.fonts``.

Its package holds still faces in the three weights of cards, and a glyph for each form of each letter. A face that puts
letters together from strokes and dots looks as good, but what is read out of the PDF is then no Arabic.

Arabic has no lower-case x. The body of a letter without ascender takes its place, as that of beh, teh and noon, to
which waw, meem, hah and ain reach within a twentieth: the height of the outline of U+0628 over the line.
"""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from builder.base.errors import RenderError

FAMILY = "Handbook Arabic"
"""Name the style sheet uses; never a name a system font could answer to."""
PACKAGE = "fontpkg_ibm_plex_sans_arabic"
FILES = {
    400: "IBMPlexSansArabic-Regular.ttf",
    600: "IBMPlexSansArabic-SemiBold.ttf",
    700: "IBMPlexSansArabic-Bold.ttf",
}
"""By CSS weight."""
BEH = 0x628
ASCENT, DESCENT = 0.94, 0.46
"""Reach above and below the line, in ems: hamza on alef, and the tail of yeh."""


def has_arabic(text: str) -> bool:
    """Whether a text has letters of this family.

    >>> has_arabic("19.5 %vol"), has_arabic("غاز")
    (False, True)
    """
    return any("\u0600" <= sign <= "\u06ff" for sign in text)


def folders() -> tuple[Path, ...]:
    """Where the package keeps its files, found without running it; nothing where it is not installed."""
    spec = find_spec(PACKAGE)
    return ((Path(spec.origin).parent / "files").resolve(),) if spec and spec.origin else ()


def face_path(weight: int) -> Path:
    """The file for a CSS weight: the nearest one there is.

    :raises RenderError: when the package is not installed, or has no such file.
    """
    nearest = min(FILES, key=lambda one: (abs(one - weight), one))
    for folder in folders():
        if (folder / FILES[nearest]).is_file():
            return folder / FILES[nearest]
    raise RenderError(f"the font package {PACKAGE} has no {FILES[nearest]}, so no card can be set in Arabic")


def face_css() -> str:
    """The ``@font-face`` rules, one a weight."""
    return "\n".join(
        f'@font-face {{ font-family: "{FAMILY}"; font-weight: {weight}; font-style: normal; '
        f'src: url("{face_path(weight).as_uri()}") format("truetype"); }}'
        for weight in FILES
    )


@cache
def body_ratio(weight: int) -> float:
    """Height of the body of letters over the type size, measured in the outline of beh.

    :raises RenderError: as ``face_path``.
    """
    from fontTools.pens.boundsPen import BoundsPen  # noqa: PLC0415 - heavy, so loaded at first need
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    with TTFont(face_path(weight), lazy=True) as font:
        glyphs = font.getGlyphSet()
        pen = BoundsPen(glyphs)
        glyphs[font.getBestCmap()[BEH]].draw(pen)
        return float(pen.bounds[3]) / float(font["head"].unitsPerEm)
