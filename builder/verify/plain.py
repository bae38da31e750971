"""A site held against its own files of data, where its content is not at hand or the builder is another one now.

This finds what no longer agrees with itself: a figure on a page with the ledger, the words of a card, a form or a label
with those that the site keeps of them. Whoever changes both alike is found by the content or a signature alone.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from html import unescape
from pathlib import Path
from typing import Any, NamedTuple

from builder.base.errors import ArchiveError
from builder.history.edition import CARDS, TEXTS
from builder.history.ledger_files import read_data, read_ledger
from builder.program.languages import LANGUAGES
from builder.render.arabic import has_arabic
from builder.render.typeset import typeset
from builder.verify.paper import read_paper
from builder.verify.report import Check, Difference
from builder.verify.words import packed

FIGURE = re.compile(r'<a class="fig" href="[^"#]*#([^"]+)"[^>]*>(.*?)</a>', re.DOTALL)
TAG = re.compile(r"<[^>]*>")
CELL = " | "
TAKEN = "\0"
TURNED = ("ar",)
"""Languages whose words are drawn from the end of a line; they are held only where the content is at hand."""


def compare_with_data(root: Path, prefix: str, pages: Iterable[str], check: Check) -> None:
    """Hold one edition against its own data; ``pages`` are its HTML pages, ``prefix`` is its folder in the site."""
    folder, what = root / prefix, prefix.rstrip("/") or "."

    def read(name: str) -> bytes:
        return (folder / name).read_bytes()

    try:
        figures = {key: _told(figure) for key, figure in read_ledger(read, what).figures.items()}
        for path in pages:
            check.compared(_page(path, (root / path).read_text(encoding="utf-8", errors="replace"), figures))
        for card in read_data(read, CARDS, what)["cards"]:
            if card["language"] not in TURNED:
                lines = (card["title"], *card["lines"][1:], card["foot"], card["code"])
                check.compared(_paper(root, f"{prefix}cards/{card['id']}.pdf", lines))
        for path, lines in read_data(read, TEXTS, what)["documents"].items():
            if not any(map(has_arabic, lines)):
                check.compared(_paper(root, prefix + path, lines))
    except (OSError, KeyError, TypeError, AttributeError, ArchiveError) as fault:
        check.compared([Difference(prefix, f"cannot be held against its own data: {fault}")])


class _Told(NamedTuple):
    """What pages print of a figure: of a large ledger only this is held, each of its parts being read once."""

    printed: str
    relation: str
    text: str
    texts: Mapping[str, str]


def _told(figure: Mapping[str, Any]) -> _Told:
    return _Told(figure["printed"], figure["relation"], figure["text"], figure.get("texts", {}))


def _page(path: str, html: str, figures: Mapping[str, _Told]) -> Iterator[Difference]:
    """Figures of a page that are not those of the ledger."""
    for key, inside in FIGURE.findall(html):
        found, figure = packed(unescape(TAG.sub("", inside))), figures.get(unescape(key))
        wanted = [figure.printed, f"{figure.relation}{figure.text}"] if figure else []
        if found not in map(packed, wanted) and not (figure and _spoken(figure, path, found)):
            yield Difference(path, f"figure {key} is not what the ledger tells", wanted[0] if wanted else "", found)


def _spoken(figure: _Told, path: str, found: str) -> bool:
    """Whether a figure is as a page in another language has it, whose units of time are words of that language."""
    text = next((figure.texts[part] for part in path.split("/")[:-1] if part in figure.texts), None)
    bare = packed(f"{figure.relation}{text}")
    return text is not None and found.startswith(bare) and not any(sign.isdigit() for sign in found[len(bare) :])


def _paper(root: Path, path: str, lines: Iterable[str]) -> Iterator[Difference]:
    """Words that a PDF says less often than it must, each taken out once it is found."""
    paper = read_paper((root / path).read_bytes(), path)
    drawings = tuple(filter(None, map(packed, paper.drawings)))  # what such a line goes on with is drawn, not written
    text = "".join(packed(said) for said in (*(line.text for line in paper.lines), *paper.around))
    parts = (part for line in lines for part in line.split(CELL) if packed(part))
    # short ones are found inside long ones
    for part in sorted(parts, key=lambda part: len(packed(part)), reverse=True):
        # quotes are those of a paper's language
        spoken = dict.fromkeys(packed(typeset(part, tag)) for tag in LANGUAGES)
        capitals = packed(part).upper()  # what a label sets large
        said = next((set_so for set_so in (*spoken, packed(part), capitals) if set_so in text), "")
        if not said and not packed(part).startswith(drawings):
            yield Difference(path, "lacks words that the site keeps of it", packed(part))
        text = text.replace(said, TAKEN, 1) if said else text
