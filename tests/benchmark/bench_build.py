"""Time the demo build against the bare PDF engine laying out the very same HTML.

Ratios are what to look at: machines differ, and so does one machine from minute to minute. Run it with `make bench`.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

import weasyprint

from builder import pipeline
from builder.render.book import Bindery, Printing
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fonts import font_face_css
from builder.render.formats import card_format
from builder.render.jobs import Workshop
from builder.render.markup import SiteFacts

CONTENT = Path(__file__).parent.parent.parent / "content"
DAY = date(2026, 11, 25)


def timed(work: Callable[[], object]) -> float:
    """Wall seconds of one call."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def documents(composed: pipeline.Composed) -> list[tuple[str, list[str]]]:
    """HTML and style sheets of every card, and of every chapter of the books."""
    figures = composed.judged.ledger.figures
    found = []
    for card in composed.cards:
        form = card_format(card.format)
        sheets = [font_face_css(), card_css(), page_css(form.width, form.height), side_css(form)]
        found.append((card_html(card, figures), sheets))
    about = SiteFacts(**pipeline.site_facts(composed.judged, draft=True))
    paper = composed.judged.program.site.paper.value
    bindery = Bindery(composed.books, Printing(figures=figures, hrefs=composed.hrefs, about=about, paper=paper))
    with Workshop() as shop:  # contents and index are made of counted pages
        bindery.start(shop)
        bindery.bound(shop)
    return [*found, *((one.html, [font_face_css(), *one.css]) for one in bindery.documents)]


def bare(html: str, sheets: Sequence[str]) -> bytes:
    """The engine by itself: no shared fonts, no measuring, no tags checked."""
    fonts = weasyprint.text.fonts.FontConfiguration()
    parsed = [weasyprint.CSS(string=text, font_config=fonts) for text in sheets]
    return bytes(weasyprint.HTML(string=html).write_pdf(stylesheets=parsed, font_config=fonts, pdf_variant="pdf/ua-1"))


def main() -> None:
    """Print medians and ratios."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=3, help="counted runs of each (default 3)")
    runs = parser.parse_args().runs
    composed = pipeline.compose(pipeline.judge(CONTENT, DAY))
    papers = documents(composed)

    def build(jobs: int) -> None:
        with tempfile.TemporaryDirectory() as folder, Workshop(jobs) as shop:
            pipeline.build(CONTENT, Path(folder) / "site", DAY, shop=shop)

    def engine() -> None:
        for html, sheets in papers:
            bare(html, sheets)

    rows: dict[str, list[float]] = {"bare engine": [], "build, 1 job": [], "build, 2 jobs": [], "judge and compose": []}
    for _ in range(runs):
        rows["bare engine"].append(timed(engine))
        rows["build, 1 job"].append(timed(lambda: build(1)))
        rows["build, 2 jobs"].append(timed(lambda: build(2)))
        rows["judge and compose"].append(timed(lambda: pipeline.compose(pipeline.judge(CONTENT, DAY))))
    base = statistics.median(rows["bare engine"])
    counted = f"{len(papers)} cards and chapters, {len(composed.pages)} pages"
    print(f"{counted}, {runs} runs; bare engine = the former, fresh each")
    for name, seconds in rows.items():
        middle = statistics.median(seconds)
        print(f"{name:18} {middle:7.2f} s   {middle / base:5.2f} x bare   ({min(seconds):.2f} to {max(seconds):.2f})")


if __name__ == "__main__":
    main()
