"""Pages and PDFs against the ledger and against the numbers that had to be printed."""

from __future__ import annotations

import posixpath
import re
import unicodedata
from collections import Counter
from collections.abc import Mapping
from typing import Any
from urllib.parse import unquote

from builder.base.errors import ArchiveError
from builder.verify.paper import Paper, check_paper
from builder.verify.reading import DIGITS, PageRead, packed
from builder.verify.report import Report
from builder.verify.site import Site

MOST_SHOWN = 5
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def check_pages(site: Site, report: Report) -> None:
    """Every figure and every number of every page."""
    figures, numbers = report.check("figures on pages"), report.check("pages, number by number")
    wanted = _wanted(site)
    frames: Counter[str] = Counter()
    for path, page in site.pages():
        for href, text in page.figures:
            key = unquote(href.partition("#")[2])
            figure = site.figures.get(key)
            good = figure is not None and packed(text) in _texts(figure)
            told = figure["printed"] if figure else "no such figure"
            figures.expect(good, f"{site.at(path)} prints {text!r} for {key}; the ledger: {told!r}")
        _handed(site, path, page, report)
        _printed_on(site, path, page, report)
        numbers.expect(*_page_numbers(site, path, page, wanted.get(path)))
        frames[_frame(page)] += 1
    usual = frames.most_common(1)[0][0] if frames else ""
    around = report.check("heads, navigation and feet of pages")
    for path, page in site.pages():
        around.expect(
            _frame(page) == usual, f"{site.at(path)}: the numbers around its text are not those of other pages"
        )


def _handed(site: Site, path: str, page: PageRead, report: Report) -> None:
    """What a page hands to scripts and to whoever points at a figure is what the ledger tells."""
    check = report.check("days and names handed over by pages")
    for href, title, due in page.hints:
        key = unquote(href.partition("#")[2])
        figure = site.figures.get(key, {"label": "", "exact": ""})
        good = packed(title) == packed(figure["label"]) and due in ("", figure["exact"])
        check.expect(good, f"{site.at(path)} calls {key} {title!r} and lets it fall due on {due or 'no day'}")
    said = page.text + packed("".join(page.frame))
    for name in page.names:
        good = packed(name.removeprefix("Draft: ")) in said
        check.expect(good, f"{site.at(path)} is called {name.strip()!r}, or a drawing on it is, but it does not say so")
    for day, text in page.days:
        year, month, last = (part.lstrip("0") for part in day.split("-"))
        good = sorted(DIGITS.findall(text)) == sorted((last, year)) and MONTHS[int(month) - 1] in text
        check.expect(good, f"{site.at(path)} counts the days to {day}, but prints {text!r}")


def _wanted(site: Site) -> dict[str, Any]:
    return dict(site.json("numbers.json")["artefacts"])


def _texts(figure: Mapping[str, Any]) -> set[str]:
    return {packed(figure["printed"]), packed(figure["relation"] + figure["text"])}


def _printed_on(site: Site, path: str, page: PageRead, report: Report) -> None:
    """Each figure that the ledger says is on a page is there; one in a drawing counts by its words."""
    check = report.check("figures where the ledger says they are printed")
    there = {unquote(href.partition("#")[2]) for href, _ in page.figures}
    for key, figure in site.figures.items():
        if path in figure["printed_on"] and not path.startswith("figures/"):
            good = (
                key in there or f'href="#{key}"' in site.text(path) or packed(figure["text"]) in packed(site.text(path))
            )
            check.expect(good, f"{site.at(path)} does not print {key}, though the ledger says so")


def _page_numbers(site: Site, path: str, page: PageRead, entry: Mapping[str, Any] | None) -> tuple[bool, str]:
    if entry is None:
        return False, f"{site.at(path)} is no page that was made with this site"
    if DIGITS.findall(" ".join(page.options)) != entry.get("forms", "").split():
        return False, f"{site.at(path)}: its forms carry other numbers than they were made with"
    wanted, found = entry["runs"].split(), page.runs
    if wanted == found:
        return True, ""
    if not entry["whole"]:
        at = 0
        for run in wanted:
            try:
                at = found.index(run, at) + 1
            except ValueError:
                return False, f"{site.at(path)}: {run!r} is missing among its numbers"
        return True, ""
    differ = next(
        (n for n, (a, b) in enumerate(zip(wanted, found, strict=False)) if a != b), min(len(wanted), len(found))
    )
    shown = [" ".join(runs[differ : differ + MOST_SHOWN]) or "nothing more" for runs in (found, wanted)]
    return False, f"{site.at(path)}: number {differ + 1} on it reads {shown[0]}, but should read {shown[1]}"


def _frame(page: PageRead) -> str:
    return " ".join(DIGITS.findall("".join(page.frame)))


def check_papers(site: Site, report: Report, known: dict[bytes, Paper]) -> None:
    """Every PDF: the numbers it must print, and the text of every figure that the ledger says it prints.

    :param known: PDFs that were read before, by their bytes; editions share many.
    """
    figures = report.check("figures in PDFs")
    prints: dict[str, list[str]] = {}
    languages = {f"cards/{card['id']}.pdf": card["language"] for card in site.json("cards.json")["cards"]}
    for key, figure in site.figures.items():
        for path in figure["printed_on"]:
            prints.setdefault(path, []).append(key)
    for path, paper in check_numbers(site, report, known).items():
        for key in prints.get(path, []):
            texts = _spoken(site.figures[key], languages.get(path))
            good = any(_printed(text, paper) for text in texts)
            figures.expect(good, f"{site.at(path)} does not print {' or '.join(map(repr, texts))} for {key}")


def check_numbers(site: Site, report: Report, known: dict[bytes, Paper]) -> dict[str, Paper]:
    """Every number of every PDF; the PDFs that could be read, by their paths."""
    numbers = report.check("PDFs, number by number")
    wanted, read = _wanted(site), {}
    for path in site.paths("", ".pdf"):
        try:
            data = site.data(path)
            paper = known.get(data) or known.setdefault(data, Paper(data, site.at(path)))
        except ArchiveError as fault:
            numbers.expect(False, str(fault))
            continue
        read[path] = paper
        if numbers.expect(path in wanted, f"{site.at(path)} is no document that was made with this site"):
            why = check_paper(paper, wanted[path])
            numbers.expect(not why, f"{site.at(path)}: {why}")
    for path in sorted(set(wanted) - set(site.files)):
        numbers.expect(False, f"{site.at(path)} is missing")
    return read


def _spoken(figure: Mapping[str, Any], language: str | None) -> list[str]:
    """What a PDF may print for a figure: a card its language's text, a sheet of several cards that of any."""
    spoken = figure.get("texts", {})
    if language is None:
        return [figure["text"], *spoken.values()]
    return [spoken.get(language, figure["text"])]


def _printed(text: str, paper: Paper) -> bool:
    """Whether a text stands in a PDF; of one with letters that are read from right to left, whether its numbers do."""
    if any(unicodedata.bidirectional(sign) in ("R", "AL") for sign in text):
        return not Counter(DIGITS.findall(text)) - Counter(paper.runs())
    return packed(text) in paper.text


def check_links(site: Site, report: Report) -> None:
    """Every link and all that a page loads leads inside the site, to a file and a place on it, and to what it names."""
    links = report.check("links")
    for path, page in site.pages():
        for href in (*page.links, *page.loads):
            links.expect(_leads(site, path, href), f"{site.at(path)}: the link to {href!r} leads nowhere")
        for href, words in zip(page.links, page.words, strict=True):
            named = "".join(words).strip()
            beside = f"{href.rpartition('/')[0]}/{named}.html".removeprefix("/")
            other = posixpath.normpath(posixpath.join(posixpath.dirname(path), beside))
            good = beside == href or not DIGITS.search(named) or other not in site.everything
            links.expect(good, f"{site.at(path)}: the link {named!r} leads to {href!r} instead")


def _leads(site: Site, path: str, href: str) -> bool:
    if re.match(r"[a-z][a-z0-9+.-]*:|//", href, re.IGNORECASE):
        return False
    target, _, anchor = href.partition("#")
    beside = posixpath.join(posixpath.dirname(path), unquote(target.partition("?")[0]))
    file = posixpath.normpath(beside) if target else path
    if file not in site.everything:
        return False
    if not anchor or not file.endswith(".html"):
        return True
    page = site.page(file)
    return page is not None and unquote(anchor) in page.ids
