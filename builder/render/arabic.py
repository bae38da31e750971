"""The face of Arabic letters, which cards in Arabic alone use beside ``builder.render.fonts``.

Its package holds still faces in the three weights of cards, and a glyph for each form of each letter. A face that puts
letters together from strokes and dots looks as good, but what is read out of the PDF is then no Arabic.

Arabic has no lower-case x. The body of a letter without ascender takes its place, as that of beh, teh and noon, to
which waw, meem, hah and ain reach within a twentieth: the height of the outline of U+0628 over the line.
"""

from collections.abc import Iterator
from contextlib import suppress
from functools import cache, lru_cache
from pathlib import Path
from unicodedata import combining, decomposition

from builder.base.errors import RenderError
from builder.render import fonts
from builder.render.fonts import Face

FAMILY = "Handbook Arabic"
"""Name the style sheet uses; never a name a system font could answer to."""
PACKAGE = "fontpkg_ibm_plex_sans_arabic"
FACES = tuple(
    Face(file=f"IBMPlexSansArabic-{name}.ttf", weight=weight, package=PACKAGE)
    for weight, name in ((400, "Regular"), (600, "SemiBold"), (700, "Bold"))
)
BEH = 0x628
ASCENT, DESCENT = 0.94, 0.46
"""Reach above and below the line, in ems: hamza on alef, and the tail of yeh."""


FORMS = range(0xFE80, 0xFEFD)
"""The letters of Arabic in each of their forms, as Unicode lists them for older software."""
LAM = "\u0644"
KERNED = 1.05
"""Most that kerning adds to the width of a word, found with the words of the catalogue."""


def has_arabic(text: str) -> bool:
    """Whether a text has letters of this family.

    >>> has_arabic("19.5 %vol"), has_arabic("غاز")
    (False, True)
    """
    return any("\u0600" <= sign <= "\u06ff" for sign in text)


def folders() -> tuple[Path, ...]:
    """Where the package keeps its files; nothing where it is not installed."""
    with suppress(RenderError):
        return (fonts.font_folder(PACKAGE),)
    return ()


def face_for(weight: int) -> Face:
    """The face for a CSS weight: the nearest one there is."""
    return fonts.face_for(weight, faces=FACES)


def face_css() -> str:
    """The ``@font-face`` rules, one a weight."""
    return fonts.font_face_css(FAMILY, FACES)


@cache
def body_ratio(weight: int) -> float:
    """Height of the body of letters over the type size, measured in the outline of beh.

    :raises RenderError: when the package is not installed.
    """
    from fontTools.pens.boundsPen import BoundsPen  # noqa: PLC0415 - heavy, so loaded at first need
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    with TTFont(fonts.face_path(face_for(weight)), lazy=True) as font:
        glyphs = font.getGlyphSet()
        pen = BoundsPen(glyphs)
        glyphs[font.getBestCmap()[BEH]].draw(pen)
        return float(pen.bounds[3]) / float(font["head"].unitsPerEm)


# ---- width of words that are not laid out yet ------------------------------------


@lru_cache(maxsize=4096)  # most words stand in many cells
def text_width(text: str, size: float, weight: int = 400) -> float:
    """Width of a line of type as ``fonts.text_width`` has it, each Arabic letter in the form that it takes in its word.

    At least: kerning, which may part such letters, is allowed for. Letters and digits of ASCII beside them are set in
    the other face; spaces and marks in either, as the engine finds it, so the wider one counts.

    :raises RenderError: as ``body_ratio``.
    """
    if not has_arabic(text):
        return fonts.text_width(text, size, weight)
    known, _, units = fonts.advances(face_for(weight))
    forms = (known.get(ord(form), known[BEH]) for form in in_forms(text) if form is not None)
    shaped = sum(forms) * KERNED * size / units
    for sign in (sign for sign in text if not has_arabic(sign)):
        other = 0 if sign.isascii() and sign.isalnum() else known.get(ord(sign), 0)
        shaped += max(fonts.text_width(sign, size, weight), other * size / units)
    return shaped


def in_forms(text: str) -> Iterator[str | None]:
    """The letters of a text, each in its form; ``None`` for what is no letter of Arabic or stands over one.

    >>> [f"{ord(form):X}" for form in in_forms("باب") if form]
    ['FE91', 'FE8E', 'FE8F']
    """
    signs = [sign for sign in text if not combining(sign)]
    before = False
    number = 0
    while number < len(signs):
        sign = "".join(signs[number : number + 2])
        if sign not in _forms() or sign[0] != LAM:
            sign = signs[number]
        number += len(sign)
        forms = _forms().get(sign, {})
        after = "<initial>" in forms and "<final>" in _forms().get("".join(signs[number : number + 1]), {})
        joined = before and "<final>" in forms
        name = ("<medial>" if after else "<final>") if joined else "<initial>" if after else "<isolated>"
        yield forms.get(name) or (sign if has_arabic(sign) else None)
        before = "<initial>" in forms


@cache
def _forms() -> dict[str, dict[str, str]]:
    """Letter, or lam with alef -> name of a form -> the letter in it."""
    found: dict[str, dict[str, str]] = {}
    for code in FORMS:
        name, *letters = decomposition(chr(code)).split()
        found.setdefault("".join(chr(int(letter, 16)) for letter in letters), {})[name] = chr(code)
    return found
