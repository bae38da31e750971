"""The words of a drawing, and what a form carries, in the order in which they are set, for those who read them back."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape

from builder.figures.figure import Figure
from builder.pages.blocks import Chart, Notice
from builder.pages.reader_tools import Converter, Corrector
from builder.render.svg import PAGE, PAPER, SCREEN, chart_svg
from builder.render.tools import form_of

SAID = re.compile(r"<text\b[^>]*>(.*?)</text>", re.DOTALL)
TAG = re.compile(r"<[^>]*>")


def drawn_words(block: object, figures: Mapping[str, Figure], *, paper: bool) -> list[str]:
    """Words in the picture of a chart; nothing for what is no drawing."""
    if not isinstance(block, Chart):
        return []
    picture = chart_svg(block, figures, PAGE, PAPER if paper else SCREEN, "read")
    return [unescape(TAG.sub("", text)) for text in SAID.findall(picture)]


def form_words(blocks: object, figures: Mapping[str, Figure]) -> list[str]:
    """What each choice of the forms among these blocks carries for its script, then its words."""
    if isinstance(blocks, tuple):
        return [word for block in blocks for word in form_words(block, figures)]
    if isinstance(blocks, Notice):
        return form_words(blocks.content, figures)
    if not isinstance(blocks, (Corrector, Converter)):
        return []
    form = form_of(blocks, figures)
    chosen = [word for choice in form.choices for word in (*(value for _, value in choice.data), choice.words)]
    return [*chosen, *(unit for _, unit in form.units)]
