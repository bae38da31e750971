"""Time a site of 2,000 units from its content to its pages, or with ``--whole`` to the finished site and its reader.

Made-up content of the size of a large works (``grown.py``). `make bench` runs it without ``--whole``, which takes
minutes more for the papers.
"""

from __future__ import annotations

import argparse
import resource
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path

from builder import building, pipeline
from builder.base.spool import Spool
from builder.base.store import NoStore
from builder.render.scripts import INDEX, put_reader_scripts
from tests.benchmark.grown import CONTENT, DAY, Size, grow
from tests.benchmark.reading import measure
from tests.rendered import html_pages

LARGEST = 8


class Clock:
    """Prints how long each step took, and the most memory so far."""

    def __init__(self) -> None:
        self._last = time.perf_counter(), time.process_time()

    def __call__(self, what: str) -> None:
        """A step has ended."""
        now = time.perf_counter(), time.process_time()
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        wall, cpu = now[0] - self._last[0], now[1] - self._last[1]
        print(f"{what:20} {wall:7.1f} s  {cpu:7.1f} s CPU  {memory:6.0f} MB", flush=True)
        self._last = now


def composed(content: Path) -> Mapping[str, bytes]:
    """Every page and script of a site, without its papers."""
    clock = Clock()
    judged = pipeline.judge(content, DAY)
    clock("judged")
    made = pipeline.compose(judged)
    clock("composed")
    figures = judged.ledger.figures
    files = html_pages(made.pages, figures, made.hrefs, pipeline.site_facts(judged, draft=True))
    put_reader_scripts(scripts := Spool(), made.reader, figures, made.hrefs, NoStore())
    files |= scripts
    clock("pages and scripts")
    print(f"{len(judged.program.units)} units, {len(figures)} figures, {len(judged.findings)} findings")
    return files


def whole(content: Path, out: Path) -> dict[str, int]:
    """Path of every file of a finished site to its size."""
    clock = Clock()
    building.build(content, out, DAY, tell=lambda said: print(f"  {said}", flush=True))
    clock("built")
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = children.ru_utime + children.ru_stime
    print(f"and beside it {spent:.0f} s CPU, at most {children.ru_maxrss / 1024:.0f} MB")
    return {str(path.relative_to(out)): path.stat().st_size for path in out.rglob("*") if path.is_file()}


def tell(sizes: Mapping[str, int]) -> None:
    """Number and size of pages and of all files, and the largest pages."""
    pages = {path: size for path, size in sizes.items() if path.endswith(".html")}
    others = {path: size for path, size in sizes.items() if path not in pages}
    for found, what in ((pages, "pages"), (others, "other files")):
        print(f"{len(found)} {what}, {sum(found.values()) / 1e6:.0f} MB; the largest:")
        for path in sorted(found, key=lambda path: -found[path])[:LARGEST]:
            print(f"  {found[path] / 1e3:9.0f} kB  {path}")
    print(f"first page {sizes['index.html'] / 1e3:.0f} kB, search index {sizes[INDEX] / 1e3:.0f} kB")


def main() -> None:
    """Make the content, then the site, in a folder that goes away, or in ``--keep``."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--units", type=int, default=2000)
    parser.add_argument("--whole", action="store_true", help="build everything and read it in a browser")
    parser.add_argument("--keep", type=Path, help="a folder for content and site, which must not be there yet")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as passing:
        folder = asked.keep or Path(passing) / "made"
        rows = grow(CONTENT, folder / "content", Size(units=asked.units))
        print(f"{rows} rows of records")
        if asked.whole:
            tell(whole(folder / "content", folder / "site"))
            measure(folder / "site")
        else:
            tell({path: len(data) for path, data in composed(folder / "content").items()})


if __name__ == "__main__":
    main()
