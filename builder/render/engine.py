"""The one door to what the PDF engine does not promise of what it laid out: its box tree, its copies of fonts.

Nothing else in the builder touches a private name of the engine. ``USED`` lists what is relied upon; a test holds each
against the engine that is installed, so that a new version fails there and not on a card.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from weasyprint import Document

MAJOR: Final = 70
"""Version of the engine that all this was read in."""

USED: Final = {
    "Page": ("_page_box",),
    "AbsolutePlaceholder": ("_box",),
    "Box": (
        "element", "element_tag", "style", "transformation_matrix", "all_children", "position_x", "position_y",
        "border_box_x", "border_box_y", "border_width", "border_height",
        "padding_box_x", "padding_box_y", "padding_width", "padding_height", "content_box_x", "content_box_y",
    ),
    "TextBox": ("text", "baseline", "width"),
    "ReplacedBox": ("width", "height"),
    "style": (
        "background_color", "color", "font_size", "font_style", "font_weight", "opacity", "overflow", "visibility",
        "border_top_style", "border_top_width", "border_right_style", "border_right_width",
        "border_bottom_style", "border_bottom_width", "border_left_style", "border_left_width", "position",
    ),
    "UnlaidBox": ("string_set", "is_running"),
    "TableRowGroupBox": ("is_header",),
    "FontConfiguration": ("_folder",),
    "Document": ("_build_layout_context",),
}  # fmt: skip
"""Kind of the engine's things -> names that are not promised."""

NOTES: Final = ("footnote-call", "footnote-marker", "note-call", "note-marker", "note-callback")
"""What the engine's own style sheet adds to any element, were it a note at the foot or the side of a page."""

KINDS: Final = {
    "TextBox": "text",
    "LineBox": "line",
    "InlineBox": "inline",
    "PageBox": "page",
    "MarginBox": "margin",
    "BlockBox": "block",
    "TableBox": "table",
    "InlineTableBox": "table",
    "TableCellBox": "cell",
    "BlockReplacedBox": "picture",
    "InlineReplacedBox": "picture",
}
"""Name of a class of the engine's boxes -> what it is here; all others are ``other``."""

EDGES: Final = ("top", "right", "bottom", "left")
BORDER_WIDTHS: Final = tuple(f"border_{name}_width" for name in EDGES)
UNDRAWN: Final = ("none", "hidden")
Frame = tuple[float, float, float, float]
"""Left, top, width and height in the engine's pixels."""


@cache
def _kind(name: str) -> str:
    return KINDS.get(name) or ("picture" if name.endswith("ReplacedBox") else "other")


class LaidBox:
    """A box as it was laid out; lengths in the engine's pixels, before transforms."""

    __slots__ = ("_raw", "kind")

    def __init__(self, raw: Any) -> None:
        self._raw = getattr(raw, "_box", raw)  # absolutely placed boxes stand wrapped in the tree
        self.kind = _kind(type(self._raw).__name__)
        """One of the values of ``KINDS``, else ``other``."""

    @property
    def children(self) -> tuple[LaidBox, ...]:
        """The boxes inside, absolutely placed ones included."""
        return () if self.kind == "text" else tuple(map(LaidBox, self._raw.all_children()))

    @property
    def element(self) -> Any:
        """The element of the source that it was made for, or ``None``."""
        return self._raw.element

    @property
    def tag(self) -> str:
        """Name of that element, with ``::before`` and the like for what a style sheet adds."""
        return self._raw.element_tag or ""

    @property
    def own(self) -> bool:
        """Whether it stands for its element itself, not for what a style sheet adds to it."""
        return self.element is not None and self.tag == self.element.tag

    @property
    def text(self) -> str:
        """The words of a text box."""
        return str(self._raw.text)

    @property
    def strings(self) -> tuple[tuple[str, str], ...]:
        """Name and text of what it gives to the heads and feet of pages."""
        return tuple(getattr(self._raw, "string_set", None) or ())

    @property
    def running(self) -> bool:
        """Whether it stands at the head or foot of pages instead of where it is written."""
        return bool(self._raw.is_running())

    @property
    def fixed(self) -> bool:
        """Whether it is drawn again on every page."""
        return self.kind not in ("text", "line") and self._raw.style["position"] == "fixed"

    @property
    def heads_table(self) -> bool:
        """Whether it is the head of a table, which is drawn again on each page of the table."""
        return bool(getattr(self._raw, "is_header", False))

    @property
    def transform(self) -> tuple[float, float, float, float, float, float] | None:
        """Its own transform, or ``None``."""
        matrix = self._raw.transformation_matrix
        if not matrix:
            return None
        a, b, c, d, e, f = matrix.values
        return a, b, c, d, e, f

    @property
    def border(self) -> Frame:
        """Its border box."""
        raw = self._raw
        return raw.border_box_x(), raw.border_box_y(), raw.border_width(), raw.border_height()

    @property
    def padding(self) -> Frame:
        """Its padding box."""
        raw = self._raw
        return raw.padding_box_x(), raw.padding_box_y(), raw.padding_width(), raw.padding_height()

    @property
    def content(self) -> Frame:
        """Its content box."""
        raw = self._raw
        return raw.content_box_x(), raw.content_box_y(), raw.width, raw.height

    @property
    def line(self) -> tuple[float, float, float]:
        """Of a text box: its left end, its baseline, its width."""
        raw = self._raw
        return raw.position_x, raw.position_y + raw.baseline, raw.width

    @property
    def font(self) -> tuple[float, int, bool]:
        """Size of its type, its CSS weight, and whether it is slanted."""
        style = self._raw.style
        return style["font_size"], int(style["font_weight"]), style["font_style"] != "normal"

    @property
    def colour(self) -> tuple[float, float, float, float]:
        """Red, green, blue and alpha of its text, 0 to 1."""
        return _rgba(self._raw.style["color"])

    @property
    def background(self) -> tuple[float, float, float, float]:
        """The same of its ground."""
        return _rgba(self._raw.style["background_color"])

    @property
    def opacity(self) -> float:
        """What it adds itself; text and lines only repeat their parent's."""
        return 1.0 if self.kind in ("text", "line") else float(self._raw.style["opacity"])

    @property
    def visible(self) -> bool:
        """Whether it is drawn."""
        return bool(self._raw.style["visibility"] == "visible")

    @property
    def clips(self) -> bool:
        """Whether what leaves it is cut off."""
        return self._raw.style["overflow"] != "visible" and self.kind not in ("text", "line", "inline", "page")

    @property
    def drawn_edges(self) -> tuple[float, float, float, float]:
        """Widths of its drawn borders: top, right, bottom, left; 0 where none is drawn."""
        if self.kind in ("text", "line", "page"):
            return 0.0, 0.0, 0.0, 0.0
        style = self._raw.style
        if not any(style[name] for name in BORDER_WIDTHS):
            return 0.0, 0.0, 0.0, 0.0
        top, right, bottom, left = (
            0.0 if style[f"border_{name}_style"] in UNDRAWN else float(style[f"border_{name}_width"]) for name in EDGES
        )
        return top, right, bottom, left

    def scope_head(self) -> None:
        """Say of a header cell whether it heads a row or a column, which the engine leaves out of the tags."""
        mark = getattr(self._raw, "mark", None)
        if mark is not None and self.tag == "th":
            scope = "Row" if self.element.get("scope") == "row" else "Column"
            mark["A"]["Scope"] = f"/{scope}"


def _rgba(colour: Any) -> tuple[float, float, float, float]:
    red, green, blue = colour.to("srgb")[:3]
    return float(red), float(green), float(blue), float(colour.alpha)


def without_notes() -> None:
    """Have the engine, which is loaded, prepare no element to be a note, since no document has notes of its kind.

    It makes a style for each part of a note of each element, which is most of what styles take.
    """
    from weasyprint.html import UA_STYLESHEET  # noqa: PLC0415 - heavy, so loaded at first need

    matcher = UA_STYLESHEET.matcher
    matcher.other_selectors = [entry for entry in matcher.other_selectors if entry[3] not in NOTES]


def unlaid(html: Any, sheets: Sequence[Any], fonts: Any, variant: str) -> LaidBox:
    """The outermost box of a document before it is laid out: all its words, with those that style sheets add.

    :param html: a document of the engine, with its style sheets and fonts.
    """
    import weasyprint  # noqa: PLC0415 - heavy, so loaded at first need
    from weasyprint.css.counters import CounterStyle  # noqa: PLC0415
    from weasyprint.formatting_structure.build import build_formatting_structure  # noqa: PLC0415

    counters = CounterStyle()
    options = {**weasyprint.DEFAULT_OPTIONS, "stylesheets": sheets, "pdf_variant": variant}
    made = weasyprint.Document._build_layout_context(html, fonts, counters, {}, options)  # noqa: SLF001 - the only way
    root = build_formatting_structure(
        html.etree_element,
        made.style_for,
        made.get_image_from_uri,
        html.base_url,
        made.target_collector,
        counters,
        made.footnotes,
    )
    return LaidBox(root)


def page_boxes(document: Document) -> Iterator[LaidBox]:
    """The outermost box of each page."""
    for page in document.pages:
        yield LaidBox(page._page_box)  # noqa: SLF001 - the only way to the boxes


def boxes_below(box: LaidBox) -> Iterator[LaidBox]:
    """A box and all below it, in the order of the source."""
    left = [box]
    while left:
        box = left.pop()
        yield box
        left += reversed(box.children)


def font_copies(fonts: Any) -> Path | None:
    """Folder in which the engine keeps copies of fonts, which it removes late, or never after an error."""
    folder = getattr(fonts, "_folder", None)
    return None if folder is None else Path(folder)
