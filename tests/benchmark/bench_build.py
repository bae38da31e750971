"""Time the demo build against the bare PDF engine laying out the very same HTML.

Ratios are what to look at: machines differ, and so does one machine from minute to minute. Run it with `make bench`.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import tempfile
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Any, TypeAlias
from unittest import mock

import weasyprint

from builder import building, pipeline
from builder.base.store import FileStore
from builder.render.fonts import font_face_css
from builder.render.jobs import Workshop
from builder.render.pdf import PdfEngine
from tests.benchmark.bench_changes import one_setpoint
from tests.benchmark.kept import Spent, keep, spent

CONTENT = Path(__file__).parent.parent.parent / "content"
DAY = date(2026, 11, 25)


Papers: TypeAlias = list[tuple[str, tuple[str, ...]]]
"""HTML and style sheets of each."""


def documents(work: Callable[[], object]) -> Papers:
    """All that is written as PDF by some work, as it was laid out the last time."""
    written: Papers = []
    laid_out, put_down = PdfEngine.document, PdfEngine.write

    def document(engine: PdfEngine, html: str, css: Sequence[str]) -> Any:
        made: Any = laid_out(engine, html, css)
        made.source = html, (font_face_css(), *css)
        return made

    def write(engine: PdfEngine, made: Any, *said: Any, **more: Any) -> bytes:
        written.append(made.source)
        return put_down(engine, made, *said, **more)

    with mock.patch.multiple(PdfEngine, document=document, write=write):
        work()
    return written


def build(jobs: int) -> None:
    """A cold build into a folder that goes away."""
    with tempfile.TemporaryDirectory() as folder, Workshop(jobs) as shop:
        building.build(CONTENT, Path(folder) / "site", DAY, shop=shop)


def changed() -> Papers:
    """What one changed setpoint of one area is printed on: less than this no build can lay out."""
    with tempfile.TemporaryDirectory() as folder:
        content, site, store = Path(folder) / "content", Path(folder) / "site", FileStore(Path(folder) / "cache")
        shutil.copytree(CONTENT, content)

        def again() -> None:
            with Workshop(1, store) as shop:
                building.build(content, site, DAY, shop=shop)

        again()
        one_setpoint(content)
        return documents(again)


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
    papers, few = documents(lambda: build(1)), changed()

    def engine(papers: Papers) -> None:
        for html, sheets in papers:
            bare(html, sheets)

    works: dict[str, Callable[[], object]] = {
        "bare engine": lambda: engine(papers),
        "bare engine, what a setpoint is on": lambda: engine(few),
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
    print(f"{len(papers)} documents, {runs} runs; bare engine = each of them once, with nothing shared")
    print(f"one setpoint of one area is printed on {len(few)} of them")
    base = rows["bare engine"].cpu
    for name, row in rows.items():
        print(f"{name:34} {row.cpu:7.2f} s CPU  {row.wall:7.2f} s wall  {row.cpu / base:5.2f} x bare")
    keep(rows)


if __name__ == "__main__":
    main()
