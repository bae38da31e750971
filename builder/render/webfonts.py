"""The site's own fonts: the packaged face cut down to the characters a handbook needs, as WOFF2.

They lie in ``templates/fonts``, cut once, since cutting takes longer than all the pages of a small site; ``make fonts``
cuts them anew, and a test holds them against that. The result depends only on the packaged face and the versions of
fonttools and brotli: no time, no machine. The files carry a name of their own, as the face's licence asks of changed
copies.
"""

import io
from pathlib import Path
from typing import Any

from builder.base.errors import RenderError
from builder.render.fonts import FAMILY, face_for, face_path
from builder.render.templates import templates_folder

STYLES = {"regular": (400, False), "semibold": (600, False), "italic": (400, True)}
"""File name without its ending -> CSS weight and slant."""
FEATURES = ("kern", "liga", "ccmp", "locl", "mark", "mkmk", "case", "sups", "subs", "sinf", "lnum", "tnum")
KEPT_NAMES = (0, 1, 2, 4, 6, 13, 14)
"""Copyright, family, style, full name, PostScript name, licence and its address."""
RANGES = (
    (0x0020, 0x007E), (0x00A0, 0x017F), (0x0391, 0x03C9), (0x2009, 0x2009), (0x2010, 0x2015), (0x2018, 0x201E),
    (0x2020, 0x2022), (0x2026, 0x2026), (0x202F, 0x2033), (0x2039, 0x203A), (0x2070, 0x209C), (0x20AC, 0x20AC),
    (0x2122, 0x2122), (0x2190, 0x2193), (0x2212, 0x2212), (0x2248, 0x2248), (0x2260, 0x2265), (0x2713, 0x2713),
)  # fmt: skip
"""Latin, Greek letters, dashes, quotes, spaces, sub- and superscripts, arrows and relation signs."""
NEEDED = "0123456789≤≥<>→✓µ°×±²³₂₃₄−–—’“”\u00a0\u202f\u2009\u2011"
"""Characters without which a page cannot be printed faithfully."""
STAND_INS = {0x2009: 0x202F, 0x2010: 0x2D, 0x2011: 0x2D}
"""Characters the face lacks -> one of the same shape that it has: thin space, hyphen, no-break hyphen."""


def _rename(font: Any, style: str) -> None:
    title = style.capitalize()
    names = {1: f"{FAMILY} {title}", 2: "Regular", 4: f"{FAMILY} {title}", 6: f"HandbookSans-{title}"}
    for identifier, text in names.items():
        font["name"].setName(text, identifier, 3, 1, 0x409)


def _stand_in(font: Any) -> None:
    for table in font["cmap"].tables:
        if table.isUnicode():
            for code, other in STAND_INS.items():
                if code not in table.cmap and other in table.cmap:
                    table.cmap[code] = table.cmap[other]


def _check(font: Any, style: str) -> None:
    """Refuse a face that lacks a needed character."""
    lacking = [character for character in NEEDED if ord(character) not in font.getBestCmap()]
    if lacking:
        raise RenderError(f"the {style} face lacks {' '.join(f'U+{ord(c):04X}' for c in lacking)}")


def cut_face(style: str) -> bytes:
    """A cut of the face, one of ``STYLES``.

    :raises RenderError: when the face lacks a needed character.
    """
    from fontTools.subset import Options, Subsetter  # noqa: PLC0415 - heavy, so loaded at first need
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - as above

    font = TTFont(face_path(face_for(*STYLES[style])), recalcTimestamp=False)
    _stand_in(font)
    _check(font, style)
    options = Options(layout_features=list(FEATURES), name_IDs=list(KEPT_NAMES), hinting=False, recalc_timestamp=False)
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=tuple(code for first, last in RANGES for code in range(first, last + 1)))
    subsetter.subset(font)
    _rename(font, style)
    font.flavor = "woff2"
    out = io.BytesIO()
    font.save(out, reorderTables=True)
    return out.getvalue()


def _folder() -> Path:
    return templates_folder() / "fonts"


def web_fonts() -> dict[str, bytes]:
    """File name -> bytes of the site's fonts.

    :raises RenderError: when the installation lacks one.
    """
    paths = [_folder() / f"{style}.woff2" for style in STYLES]
    for path in paths:
        if not path.is_file():
            raise RenderError(f"the installation has no font {path}")
    return {path.name: path.read_bytes() for path in paths}


def write_fonts() -> None:
    """Cut all of them anew into the folder they are shipped from."""
    _folder().mkdir(exist_ok=True)
    for style in STYLES:
        (_folder() / f"{style}.woff2").write_bytes(cut_face(style))


if __name__ == "__main__":
    write_fonts()
