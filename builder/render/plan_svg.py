"""The plan of the areas in the one ink of a page; on a screen each area is a link."""

from collections.abc import Callable, Iterator
from html import escape

from builder.pages.blocks import Drawing
from builder.program.plan import WIDTH_MM, Part
from builder.render.fonts import FAMILY
from builder.render.svg import Look

LINE_MM, AREA_MM = 0.25, 0.5
"""Widths of lines, and of those round an area."""


def plan_svg(node: Drawing, resolve: Callable[[str], str], look: Look, name: str) -> str:
    """The picture; ``resolve`` gives the address of an area, empty where nothing can be followed."""
    left, top, width, height = node.plan.view
    unit = width / WIDTH_MM
    links = any(resolve(f"area:{area}") for area in node.plan.areas)
    named = f'role="{"group" if links else "img"}" aria-labelledby="{escape(name)}-title"'
    box = f'viewBox="{left:g} {top:g} {width:g} {height:g}" width="{WIDTH_MM:g}mm" height="{height / unit:.5g}mm"'
    ink = f'fill="none" stroke="{look.ink}" stroke-width="{LINE_MM * unit:.4g}" stroke-linejoin="round"'
    drawn = "\n".join(line for part in node.plan.parts for line in _drawn(part, node, resolve, look, unit))
    title = f'<title id="{escape(name)}-title">{escape(node.title)}</title>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {named} {box}>\n{title}\n<g {ink}>\n{drawn}\n</g>\n</svg>'


def _drawn(part: Part, node: Drawing, resolve: Callable[[str], str], look: Look, unit: float) -> Iterator[str]:
    attributes = "".join(f' {key}="{escape(value)}"' for key, value in part.attributes)
    href = resolve(f"area:{part.area}") if part.area else ""
    if href:
        named = "" if _says(part) else f' aria-label="{escape(node.names[part.area])}"'
        yield f'<a href="{escape(href)}"{named} pointer-events="all">'
    if part.area:
        attributes += f' stroke-width="{AREA_MM * unit:.4g}"'
    if part.tag == "text":
        face = f'font-family="{FAMILY}" fill="{look.ink}" stroke="none"'
        yield f"<text{attributes} {face}>{escape(part.text)}</text>"
    elif part.tag == "g":
        yield f"<g{attributes}>"
        for inner in part.parts:
            yield from _drawn(inner, node, resolve, look, unit)
        yield "</g>"
    else:
        yield f"<{part.tag}{attributes}/>"
    if href:
        yield "</a>"


def _says(part: Part) -> bool:
    """Whether words stand in a shape: they are then the name of its link, seen or heard."""
    return part.tag == "text" or any(map(_says, part.parts))
