"""The one type face of everything printed, from a package so that it is the same on every machine.

Of Arabic letters see ``builder.render.arabic``, whose faces are found and measured in the same way.
"""

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from builder.base.errors import RenderError
from builder.base.record import dataclass

FAMILY = "Handbook Sans"
"""Name the style sheets use; never a name a system font could answer to."""

PACKAGE = "font_source_sans_pro"


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One static font file."""

    file: str
    """File name in the package."""
    weight: int
    """CSS weight."""
    italic: bool = False
    package: str = PACKAGE


FACES: tuple[Face, ...] = (
    Face(file="SourceSansPro-Regular.ttf", weight=400),
    Face(file="SourceSansPro-It.ttf", weight=400, italic=True),
    Face(file="SourceSansPro-Semibold.ttf", weight=600),
    Face(file="SourceSansPro-Bold.ttf", weight=700),
)


@cache
def font_folder(package: str = PACKAGE) -> Path:
    """Where a font package keeps its files, found without running the package.

    :raises RenderError: when the package is not installed.
    """
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise RenderError(f"the font package {package} is not installed")
    return (Path(spec.origin).parent / "files").resolve()


def face_path(face: Face) -> Path:
    """The file of a face.

    :raises RenderError: when the package does not have it.
    """
    path = font_folder(face.package) / face.file
    if not path.is_file():
        raise RenderError(f"the font package {face.package} has no {face.file}")
    return path


@cache
def face_for(weight: int, italic: bool = False, faces: tuple[Face, ...] = FACES) -> Face:
    """The face that is set for a CSS weight: the nearest one of that slant."""
    slanted = [face for face in faces if face.italic is italic]
    return min(slanted, key=lambda face: (abs(face.weight - weight), face.weight))


@cache
def x_height_ratio(face: Face) -> float:
    """Height of a lower-case x over the type size, as the font itself states it (OS/2 table).

    :raises RenderError: when the font does not state it.
    """
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - heavy, so loaded at first need

    with TTFont(face_path(face), lazy=True) as font:
        height = getattr(font["OS/2"], "sxHeight", 0)
        units = font["head"].unitsPerEm
    if not height:
        raise RenderError(f"{face.file} does not state its x-height, so legibility cannot be measured")
    return float(height) / float(units)


def font_face_css(family: str = FAMILY, faces: tuple[Face, ...] = FACES) -> str:
    """The ``@font-face`` rules, one a face."""
    return "\n".join(
        f'@font-face {{ font-family: "{family}"; font-weight: {face.weight}; '
        f"font-style: {'italic' if face.italic else 'normal'}; "
        f'src: url("{face_path(face).as_uri()}") format("truetype"); }}'
        for face in faces
    )


@cache
def advances(face: Face) -> tuple[dict[int, int], int, int]:
    """Width of each character in font units, that of a character the face lacks, and the units of the type size."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - heavy, so loaded at first need

    with TTFont(face_path(face), lazy=True) as font:
        widths = font["hmtx"].metrics
        known = {code: widths[name][0] for code, name in font.getBestCmap().items()}
        return known, widths[".notdef"][0], font["head"].unitsPerEm


def text_width(text: str, size: float, weight: int = 400) -> float:
    """Width of a line of type in the unit of ``size``, kerning left out, as the engine sets the text of pictures."""
    known, unknown, units = advances(face_for(weight))
    return sum(known.get(ord(character), unknown) for character in text) * size / units
