"""Charts of cards in Arabic: the words are laid over the picture as text.

In a picture the engine sets each letter by itself and from left to right; in text it shapes and orders them.
The picture is not turned: Arabic technical texts often keep axes, like numbers, from left to right (common practice,
no source).
"""

from collections.abc import Mapping
from html import escape

from builder.figures.figure import Figure
from builder.pages.blocks import Chart
from builder.render.arabic import has_arabic
from builder.render.direction import RUN
from builder.render.plot import Plot, Size, plot_of
from builder.render.svg import Caption, Look, captions, plot_svg

RISE = 0.857
"""From the top of a laid-over line to its baseline, over the type size, as the engine sets both faces."""


def chart_over(chart: Chart, figures: Mapping[str, Figure], size: Size, look: Look, name: str) -> str:
    """The picture with its Arabic words laid over it, as HTML.

    :raises RenderError: as ``chart_svg``.
    """
    plot = plot_of(chart, figures, size)
    picture = plot_svg(chart, plot, look, name, lambda one: not has_arabic(one.words))
    words = [_laid_over(one, plot, look) for one in captions(plot, look) if has_arabic(one.words)]
    frame = f"width: {plot.width:g}mm; height: {plot.height:.2f}mm"
    return "\n".join([f'<div class="drawing" style="{frame}">', picture, *words, "</div>"])


def _laid_over(one: Caption, plot: Plot, look: Look) -> str:
    """A caption as a paragraph; all of those in letters begin at their left end."""
    place = f"left: {one.x:.2f}mm; top: {one.y - RISE * plot.text:.2f}mm"
    type_ = f"font-size: {plot.text:g}mm; font-weight: {one.weight}; color: {look.ink}"
    return f'<p class="over {one.part}" style="{place}; {type_}">{boxed_words(one.words)}</p>'


def boxed_words(words: str) -> str:
    """Words as HTML, with what is read from left to right in boxes, so that readers of the PDF keep the order too.

    >>> boxed_words("القاعدة: 10 %LEL")
    'القاعدة: <span class="ltr">10 %LEL</span>'
    """
    found, at = "", 0
    for run in RUN.finditer(words):
        found += f'{escape(words[at : run.start()])}<span class="ltr">{escape(run[0])}</span>'
        at = run.end()
    return found + escape(words[at:])
