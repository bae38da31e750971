"""What can be seen of a written card from outside: by two PDF readers and on a raster, without the engine's boxes.

Nothing here asks `builder.render.fit`, `lines` or `boxes`, since those are what is on trial.
"""

from __future__ import annotations

import re
import subprocess
import unicodedata
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from html import unescape
from io import BytesIO

from fontTools.ttLib import TTFont
from pypdf import PdfReader

from builder.pages.blocks import BETWEEN, Absent, Chart, Code, Fig, Line, Mark, Qr, Table, Text
from builder.pages.compositions import Card
from builder.pages.numbers import spoken_figures
from builder.render.fonts import font_folder
from builder.render.formats import CardFormat, card_format
from tests.render.raster import rasters

MM = 72 / 25.4
SAFE = 4.0
X_HEIGHT, DECISIVE, ACTION, ARABIC = 1.2, 9.0, 13.0, 9.0
"""Least x-height in mm, and sizes in points, as docs/design.md has them (`builder/render/arabic.py` for Arabic)."""
WORD = re.compile(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>')
MARKS = re.compile("[\u00ad\u200e\u200f\u202a-\u202e\u2066-\u2069]")
SET = str.maketrans("‘’“”–", "''\"\"-")
"""Quotes and dashes as paper has them -> as authors type them."""
BOLD = re.compile(r"(?<!Semi)-Bold$")
REACH_MM = 1.1
"""The reader gives words the height of their whole font, which is more than their ink: less than this at 14 pt."""


@dataclass(frozen=True)
class Run:
    """Letters set in one go, as pypdf tells them."""

    text: str
    points: float
    font: str


def squeezed(text: str) -> str:
    return "".join(MARKS.sub("", unicodedata.normalize("NFKC", text)).translate(SET).split())


@cache
def cut_ratios() -> tuple[float, float]:
    """Of the flattest cut: the height of a lower-case x, and that of a whole line as readers box it, in type sizes."""
    fonts = [TTFont(font_folder() / f"SourceSansPro-{cut}.otf") for cut in ("Regular", "Semibold", "Bold")]
    flat = min(font["OS/2"].sxHeight / font["head"].unitsPerEm for font in fonts)
    tall = max((font["hhea"].ascent - font["hhea"].descent) / font["head"].unitsPerEm for font in fonts)
    return flat, tall


def x_height_of(word: Word) -> float:
    """Millimetres of a lower-case x in the type of a word, from the height of its box."""
    flat, tall = cut_ratios()
    return (word[4] - word[2]) / tall * flat


def words_put_in(node: object, figures: dict, *, action: bool = False) -> Iterator[tuple[str, bool, bool]]:
    """(text, whether it is a decisive number, whether it says what to do) of everything a card is to print."""
    if isinstance(node, str):
        yield node, False, False
    elif isinstance(node, Fig):
        figure = figures[node.key]
        unit = "" if node.bare or not figure.unit else figure.unit
        sign = f"{figure.relation} " if figure.relation else ""
        yield f"{sign}{figure.text}{unit}", node.decisive, action
    elif isinstance(node, (Text, Code)):
        yield node.text, False, action
    elif isinstance(node, Absent):
        yield node.reason, False, action
    elif isinstance(node, Qr):
        yield node.says, False, False
    elif isinstance(node, Chart):
        yield from ((part.name if isinstance(part, Line) else part.label, False, False) for part in _drawn(node))
    elif isinstance(node, tuple):
        for part in node:
            yield from words_put_in(part, figures, action=action)
    elif isinstance(node, Table) and node.kind == "actions":
        for what, *when in node.rows:
            yield from words_put_in(what, figures, action=True)
            yield from words_put_in(tuple(when), figures)
    elif is_dataclass(node):
        names = [part.name for part in fields(node) if part.name in PRINTED]
        if not getattr(node, "rows", True) and "empty" not in names:
            names.append("empty")
        for name in names:
            yield from words_put_in(getattr(node, name), figures, action=action and name not in HEADS)


PRINTED = ("title", "caption", "columns", "rows", "items", "content", "blocks")
HEADS = ("title", "caption", "columns")


def _drawn(chart: Chart) -> Iterator[Line | Mark]:
    yield from (*chart.lines, *chart.marks)


@cache
def read_runs(pdf: bytes) -> list[list[Run]]:
    """The runs of each page; read once, since several tests look at the same papers."""
    found = []
    for page in PdfReader(BytesIO(pdf)).pages:
        runs: list[Run] = []

        def visit(text, outer, matrix, font, size, runs=runs):
            if text.strip():
                scale = abs(matrix[3] * outer[3])
                runs.append(Run(text, size * scale, str((font or {}).get("/BaseFont", ""))))

        page.extract_text(visitor_text=visit)
        found.append(runs)
    return found


Word = tuple[str, float, float, float, float]
"""A word, then left, top, right, bottom in millimetres."""


def read_words(pdf: bytes) -> list[list[Word]]:
    """The words of each page, by poppler."""
    done = subprocess.run(["pdftotext", "-bbox-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    pages = done.stdout.decode().split("<page ")[1:]
    return [
        [(unescape(text), *(float(number) / MM for number in numbers)) for *numbers, text in WORD.findall(page)]
        for page in pages
    ]


def panels(form: CardFormat) -> list[tuple[float, float, float, float]]:
    """Safe areas of one printed side: the whole of it, or its panels."""
    wide, tall = form.panel_width, form.panel_height
    return [
        (x * wide + SAFE, y * tall + SAFE, (x + 1) * wide - SAFE, (y + 1) * tall - SAFE)
        for y in range(form.down)
        for x in range(form.across)
    ]


def seen_faults(card: Card, pdf: bytes, figures: dict) -> list[str]:
    """What is wrong with a card that was handed out; empty when all of it is there, inside, and large enough."""
    told = spoken_figures(figures, card.language)
    said = [(card.title, False, False)]
    said += [entry for side in card.sides for entry in words_put_in(side.blocks, told)]
    if card.language == "ar":  # lists in a line are parted by the mark of their script
        said = [("\N{ARABIC SEMICOLON} " if text == BETWEEN.text else text, *kinds) for text, *kinds in said]
    pages, runs = read_words(pdf), [run for page in read_runs(pdf) for run in page]
    return [
        *_outside(card_format(card.format), pages),
        *_missing([text for text, *_ in said], pages, runs, arabic=card.language == "ar"),
        *_small([word for page in pages for word in page], said, runs),
        *_over_the_edge(card_format(card.format), pdf),
    ]


def _outside(form: CardFormat, pages: list) -> Iterator[str]:
    for number, page in enumerate(pages, start=1):
        for text, left, top, right, bottom in page:
            inside = any(
                left >= safe[0] - 0.1
                and top >= safe[1] - REACH_MM
                and right <= safe[2] + 0.1
                and bottom <= safe[3] + REACH_MM
                for safe in panels(form)
            )
            if not inside:
                where = f"{left:.1f}-{right:.1f}, {top:.1f}-{bottom:.1f} mm"
                yield f"page {number}: {text!r} at {where} leaves the safe area"


def _missing(said: list[str], pages: list, runs: list[Run], *, arabic: bool) -> Iterator[str]:
    readers = {
        "poppler": squeezed("".join(word[0] for page in pages for word in page)),
        "pypdf": squeezed("".join(run.text for run in runs)),
    }
    wanted = Counter(squeezed("".join(said)))
    for name, text in readers.items():
        lost = wanted - Counter(text)
        if lost:
            yield f"{name} misses {dict(lost)}"
        for word in " ".join(said).split():
            parts = [part for part in re.split(r"(?<=[-–/])", squeezed(word)) if part]
            if not arabic and not all(part in text for part in parts):
                yield f"{name} misses the word {word!r}"


def _small(words: list[Word], said: list[tuple[str, bool, bool]], runs: list[Run]) -> Iterator[str]:
    for word in words:
        if word[0].isascii() and x_height_of(word) < X_HEIGHT - 0.002:
            yield f"a lower-case x of {word[0]!r} is {x_height_of(word):.3f} mm high"
    for run in runs:
        if "Arabic" in run.font and run.points < ARABIC - 0.01:
            yield f"{run.text!r} is set in {run.points:.2f} pt of Arabic"
    large = "".join(squeezed(run.text) for run in runs if run.points >= DECISIVE - 0.01)
    bold = Counter("".join(squeezed(run.text) for run in runs if run.points >= ACTION - 0.01 and BOLD.search(run.font)))
    for text, decisive, _ in said:
        if decisive and not all(part in large for part in re.findall(r"\d+", text)):
            yield f"the decisive number {text!r} is under {DECISIVE} pt"
    lost = Counter(squeezed("".join(text for text, _, action in said if action))) - bold
    if lost:
        yield f"of what to do, {dict(lost)} is not bold or under {ACTION} pt"


def _over_the_edge(form: CardFormat, pdf: bytes, dpi: int = 72) -> Iterator[str]:
    """Any ink at all, rules too, in the outermost 2.7 mm of a printed side; folds are drawn inside it on purpose.

    The tab of the role is cut at the upper edge, 4 mm from the corner (12 mm beside a hole) and 9 mm wide.
    """
    deep = int(2.7 * dpi / 25.4)
    for number, page in enumerate(rasters(pdf, dpi), start=1):
        width, height = page.size
        inner = page.copy()
        inner.paste(255, (deep, deep, width - deep, height - deep))
        for x in range(1, form.across):
            at = round(x * width / form.across)
            inner.paste(255, (at - 2, 0, at + 2, height))
        for y in range(1, form.down):
            at = round(y * height / form.down)
            inner.paste(255, (0, at - 2, width, at + 2))
        for corner in [x * width / form.across for x in range(form.across + 1)]:
            for start in (-21.2, -13.2, 3.8, 11.8):
                left = corner + start * dpi / 25.4
                inner.paste(255, (round(left), 0, round(left + 9.4 * dpi / 25.4), deep))
        dark = 255 - inner.getextrema()[0]
        if dark > 40:
            yield f"page {number}: ink in the outermost 2.7 mm"
