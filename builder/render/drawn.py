"""The words of a drawing, in the order in which it is drawn, for those who read it back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape

from builder.figures.figure import Figure
from builder.pages.blocks import Chart
from builder.render.svg import PAGE, PAPER, SCREEN, chart_svg

SAID = re.compile(r"<text\b[^>]*>(.*?)</text>", re.DOTALL)
TAG = re.compile(r"<[^>]*>")


def drawn_words(block: object, figures: Mapping[str, Figure], *, paper: bool) -> list[str]:
    """Words in the picture of a chart; nothing for what is no drawing."""
    if not isinstance(block, Chart):
        return []
    picture = chart_svg(block, figures, PAGE, PAPER if paper else SCREEN, "read")
    return [unescape(TAG.sub("", text)) for text in SAID.findall(picture)]
