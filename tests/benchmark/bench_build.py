"""Time the demo build against the bare PDF engine laying out the very same HTML.

Ratios are what to look at: machines differ, and so does one machine from minute to minute. Run it with `make bench`.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

import weasyprint

from builder import building, pipeline
from builder.render.book import Bindery, Printing
from builder.render.card_pages import card_css, card_html, page_css, side_css
from builder.render.fonts import font_face_css
from builder.render.formats import card_format
from builder.render.jobs import Workshop
from builder.render.markup import SiteFacts
from tests.benchmark.kept import Spent, keep, spent

CONTENT = Path(__file__).parent.parent.parent / "content"
DAY = date(2026, 11, 25)


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
            building.build(CONTENT, Path(folder) / "site", DAY, shop=shop)

    def engine() -> None:
        for html, sheets in papers:
            bare(html, sheets)

    works: dict[str, Callable[[], object]] = {
        "bare engine": engine,
        "build, 1 job": lambda: build(1),
        "build, 2 jobs": lambda: build(2),
        "judge and compose": lambda: pipeline.compose(pipeline.judge(CONTENT, DAY)),
    }
    taken: dict[str, list[Spent]] = {name: [] for name in works}
    for _ in range(runs):
        for name, work in works.items():
            taken[name].append(spent(work))
    rows = {
        name: Spent(statistics.median(one.cpu for one in found), statistics.median(one.wall for one in found))
        for name, found in taken.items()
    }
    counted = f"{len(papers)} cards and chapters, {len(composed.pages)} pages"
    print(f"{counted}, {runs} runs; bare engine = the former, fresh each")
    base = rows["bare engine"].cpu
    for name, row in rows.items():
        print(f"{name:18} {row.cpu:7.2f} s CPU  {row.wall:7.2f} s wall  {row.cpu / base:5.2f} x bare")
    keep(rows)


if __name__ == "__main__":
    main()
