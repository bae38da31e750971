"""A plan of the areas that the site draws: lines and words alone, rebuilt from what is known to be harmless.

Whatever could run, load, hide or lead elsewhere is refused with its line; ink, faces and layers of the drawing program
are left out, since a plan is printed in the one ink of the page.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from builder.base.errors import Problem
from builder.base.fault_kinds import Kind
from builder.base.record import dataclass
from builder.base.where import Where
from builder.load.drawing import Element
from builder.program.faults import Faults

FILE: Final = "plan.svg"
NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?"
NUMBERS: Final = re.compile(rf"\s*(?:{NUMBER}[\s,]*)*")
ONE: Final = re.compile(NUMBER)
PATH: Final = re.compile(rf"\s*(?:[MmZzLlHhVvCcSsQqTtAa]|{NUMBER}|[\s,])*")
MOVED: Final = re.compile(rf"\s*(?:(?:translate|rotate)\(\s*(?:{NUMBER}[\s,]*){{1,3}}\)[\s,]*)*")
ANCHOR: Final = re.compile("start|middle|end")
PLACED: Final[Mapping[str, re.Pattern[str]]] = {"transform": MOVED, "stroke-dasharray": NUMBERS}
DRAWN: Final[Mapping[str, Mapping[str, re.Pattern[str]]]] = {
    "g": {},
    "rect": dict.fromkeys(("x", "y", "width", "height", "rx", "ry"), ONE),
    "circle": dict.fromkeys(("cx", "cy", "r"), ONE),
    "ellipse": dict.fromkeys(("cx", "cy", "rx", "ry"), ONE),
    "line": dict.fromkeys(("x1", "y1", "x2", "y2"), ONE),
    "polyline": {"points": NUMBERS},
    "polygon": {"points": NUMBERS},
    "path": {"d": PATH},
    "text": {"x": ONE, "y": ONE, "font-size": ONE, "text-anchor": ANCHOR},
}
"""Element -> what is kept of its attributes, and of which form that must be."""
LEFT_OUT: Final = ("title", "desc", "metadata", "defs")
"""Elements that draw nothing."""
REFUSED: Final = re.compile(r"on.*|(?:.* )?(?:href|src|base)|filter|mask|clip-path|marker.*", re.IGNORECASE)
"""Attributes that run, load, or change what is seen."""
HIDING: Final = re.compile(r"display|visibility|opacity|url|@|expression", re.IGNORECASE)
VIEW: Final = 4
FLATTEST, TALLEST = 0.2, 1.2
"""Height over width of a plan that fits above a list on a page."""
WIDTH_MM: Final = 165.0
SMALLEST_MM: Final = 2.6
"""Least size of its letters when printed: 7.4 pt, in which capitals and figures can be read (design of pages)."""


@dataclass(frozen=True, slots=True)
class Part:
    """A shape, a line of words, or a group of them."""

    tag: str
    attributes: tuple[tuple[str, str], ...]
    text: str = ""
    parts: tuple[Part, ...] = ()
    area: str = ""
    """Id of the area that it stands for, or nothing."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole drawing."""

    view: tuple[float, float, float, float]
    """Left, top, width and height, in units of the drawing."""
    parts: tuple[Part, ...]

    @property
    def areas(self) -> tuple[str, ...]:
        """Ids of the areas that are drawn, each once."""
        return tuple(dict.fromkeys(_areas(self.parts)))


def _areas(parts: tuple[Part, ...]) -> Iterator[str]:
    for part in parts:
        if part.area:
            yield part.area
        yield from _areas(part.parts)


def read_plan(drawing: Element | None, areas: frozenset[str], faults: Faults) -> Plan | None:
    """The plan, or ``None`` where there is none or it is refused.

    :param areas: ids of the areas; an element of such an id stands for it.
    """
    if drawing is None:
        return None
    before = len(faults.problems)
    view = _view(drawing, faults)
    if view is None:
        return None
    parts = tuple(_Judge(areas, faults, WIDTH_MM / view[2]).parts(drawing))
    if len(faults.problems) > before:
        return None
    found = Plan(view, parts)
    if not found.areas:
        faults.problems.append(
            _problem(drawing.where, "no area is drawn", f"elements with the id of an area: {', '.join(sorted(areas))}")
        )
    return found


def _view(drawing: Element, faults: Faults) -> tuple[float, float, float, float] | None:
    text = drawing.attributes.get("viewBox", "")
    found = [float(part) for part in re.split(r"[\s,]+", text.strip()) if ONE.fullmatch(part)]
    allowed = f"an svg with a viewBox whose height is {FLATTEST} to {TALLEST} of its width"
    if drawing.tag != "svg" or len(found) != VIEW or found[2] <= 0 or not FLATTEST <= found[3] / found[2] <= TALLEST:
        faults.problems.append(_problem(drawing.where, f"<{drawing.tag}> with viewBox {text!r}", allowed))
        return None
    left, top, width, height = found
    return left, top, width, height


def _problem(where: Where, found: str, allowed: str) -> Problem:
    return Problem(where, found, allowed, kind=Kind.SHAPE)


class _Judge:
    def __init__(self, areas: frozenset[str], faults: Faults, scale: float) -> None:
        self._areas, self._faults, self._scale = areas, faults, scale
        self._seen: set[str] = set()

    def parts(self, element: Element, size: str = "") -> Iterator[Part]:
        """What is kept below an element."""
        for child in element.children:
            if " " in child.tag or child.tag in LEFT_OUT:  # of another language, or drawn nowhere
                continue
            if child.tag in DRAWN:
                yield from self._part(child, child.attributes.get("font-size", size))
            else:
                self._refuse(child, f"element <{child.tag}>", ", ".join(DRAWN))

    def _refuse(self, element: Element, found: str, allowed: str) -> None:
        self._faults.problems.append(_problem(element.where, found, allowed))

    def _part(self, element: Element, size: str) -> Iterator[Part]:
        kept = tuple(self._kept(element))
        name = element.attributes.get("id", "")
        area = name if name in self._areas else ""
        if area in self._seen and area:
            self._refuse(
                element, f"area {area!r} is drawn twice", "each area once, in a group if it has several shapes"
            )
        self._seen.add(area)
        if element.tag == "text":
            yield from self._lines(element, Part("text", kept, area=area), size)
        elif element.tag == "g":
            yield Part("g", kept, parts=tuple(self.parts(element, size)), area=area)
        else:
            yield Part(element.tag, kept, area=area)

    def _kept(self, element: Element) -> Iterator[tuple[str, str]]:
        forms = {**PLACED, **DRAWN[element.tag]}
        for name, value in element.attributes.items():
            if REFUSED.fullmatch(name):
                self._refuse(element, f"attribute {name.rpartition(' ')[2]!r}", "shapes and words alone")
            elif HIDING.fullmatch(name) or (name == "style" and HIDING.search(value)):
                self._refuse(element, f"{name}={value!r}, which hides or loads", "what is there and seen")
            elif name in forms and value.strip() != "none":
                plain = value.strip().removesuffix("px")
                if forms[name].fullmatch(plain):
                    yield name, plain
                else:
                    self._refuse(element, f"{name}={value[:40]!r}", "plain numbers; of moves translate and rotate")

    def _lines(self, element: Element, whole: Part, size: str) -> Iterator[Part]:
        """A text, each line of it by itself."""
        own = dict(whole.attributes)
        sized = own.get("font-size") or size.removesuffix("px")
        if not ONE.fullmatch(sized):
            self._refuse(element, "a text without font-size", "a plain number as font-size of it or of its group")
        elif float(sized) * self._scale < SMALLEST_MM:
            found = f"letters of {float(sized) * self._scale:.1f} mm when printed"
            self._refuse(element, found, f"font-size {SMALLEST_MM / self._scale:.1f} or more in this drawing")
        own["font-size"] = sized
        said = " ".join(element.text.split())
        if said:
            yield replace(whole, attributes=tuple(own.items()), text=said)
        for child in element.children:
            if child.tag != "tspan" or child.children:
                self._refuse(child, f"element <{child.tag}> in a text", "tspan with words alone")
                continue
            kept = own | {name: value for name, value in child.attributes.items() if name in ("x", "y")}
            if not all(ONE.fullmatch(value) for name, value in kept.items() if name in ("x", "y")):
                self._refuse(child, "a tspan with other places than numbers", "x and y as plain numbers")
            elif child.text.strip():
                yield replace(whole, attributes=tuple(kept.items()), text=" ".join(child.text.split()), area="")
