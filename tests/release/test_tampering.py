"""One digit changed in any kind of file of a site is found, although the checksums were mended.

Every kind of file is changed at many places, a digit at a time, and examined by the parts of ``verify`` that read it.
Checksums are left out on purpose: whoever changes a file can write that list anew.
"""

from __future__ import annotations

import io
import random
import re

import pytest
from pypdf import PdfWriter
from pypdf.generic import DecodedStreamObject, NameObject

from builder.verify.calendars import check_calendars
from builder.verify.index import check_index
from builder.verify.ledgers import check_ledger, check_scripts
from builder.verify.paper import Paper, check_paper
from builder.verify.printed import check_links, check_pages
from builder.verify.report import Report
from builder.verify.site import Site
from builder.verify.tables import check_tables
from builder.verify.verify import examined
from builder.verify.words import check_words

SEED, MOST = 20261125, 32
"""Places that are changed of each kind of file: all of them, or so many spread by chance, the same each time."""


class Changed(Site):
    """A site of which one file has other bytes; all else is what was read before."""

    def __init__(self, known, path, data, pages=()):
        super().__init__(known.root)
        self.changed = (path, data)
        self._pages = {name: page for name, page in known._pages.items() if name != path}
        self._json = {name: told for name, told in known._json.items() if name != path}
        self.__dict__["everything"] = known.everything
        self.__dict__["files"] = known.files
        if pages:
            self.__dict__["files"] = tuple(name for name in known.files if not name.endswith(".html") or name in pages)

    def data(self, path):
        return self.changed[1] if path == self.changed[0] else super().data(path)


@pytest.fixture(scope="module")
def site(minimal):
    """The site as it was built, read whole, and sound."""
    known = Site(minimal.out)
    report = Report()
    for check in (check_pages, check_ledger, check_scripts, check_tables, check_words, check_calendars, check_index):
        check(known, report)
    check_links(known, report)
    assert report.faults == []
    return known


def sample(places):
    """Some of the places, spread over all of them by chance."""
    return sorted(random.Random(SEED).sample(places, min(MOST, len(places))))  # noqa: S311 - the same places each time


def another(digit, at):
    """A digit that is not ``digit``."""
    return str((int(digit) + 1 + at % 9) % 10)


def unseen(site, path, checks, places, pages=()):
    """The places of a file where another digit is found by none of the checks; each with what stands around it.

    :param pages: the only pages that are examined, to save time; all when there are none.
    """
    text = site.text(path)
    missed = []
    for at in sample(places(text)):
        changed = text[:at] + another(text[at], at) + text[at + 1 :]
        report = examined(Changed(site, path, changed.encode(), pages), checks)
        if not report.faults:
            missed.append(text[max(at - 60, 0) : at + 30])
    return missed


def every_digit(text):
    return [match.start() for match in re.finditer("[0-9]", text)]


DATA = {
    "figures.json": (check_ledger, check_scripts, check_tables, check_words),
    "findings.json": (check_words,),
    "texts.json": (check_words,),
    "about.json": (check_words,),
    "cards.json": (check_words,),
    "numbers.json": (check_pages, check_words),
    "data/figures.csv": (check_tables,),
    "data/units.csv": (check_tables,),
    "data/due.csv": (check_tables, check_calendars),
    "data/cylinders.csv": (check_tables,),
    "data/setpoints.csv": (check_tables,),
    "calendar/all.ics": (check_calendars,),
    "calendar/pit.ics": (check_calendars,),
    "assets/search-index.js": (check_index,),
    "assets/derivations/setpoint.pit.js": (check_scripts,),
    "assets/derivations/response.cat-flammable.js": (check_scripts,),
}


@pytest.mark.parametrize("path", DATA)
def test_a_digit_in_a_file_of_data(site, path):
    def places(text):
        if path == "about.json":  # what other libraries there were is told nowhere else
            kept = (text.index('"as_of"'), text.index('"builder"'))
            return [at for at in every_digit(text) if any(start < at < text.index("\n", start) for start in kept)]
        if path == "numbers.json":  # what it tells of papers is held against papers, below
            return [at for at in every_digit(text) if at < text.index('"cards/pit-entrant.pdf": {')]
        return every_digit(text)

    assert unseen(site, path, DATA[path], places) == []


def test_every_kind_of_data_is_tried(site):
    def kinds(paths):
        return {(path.partition("/")[0], path.rpartition(".")[2]) for path in paths}

    assert kinds(path for path in site.files if not path.endswith(READ_BY_EYES)) - kinds(DATA) == set()


READ_BY_EYES = (".html", ".pdf", ".css", ".woff2", "README.md", "SHA256SUMS", "/derivation.js", "/due.js", "/exact.js",
                "/search.js", "/status.js", "/tools.js")  # fmt: skip

PAGES = ("index.html", "areas/pit.html", "units/d-001.html", "cylinders/c-001.html", "gases/methane.html",
         "conversions.html", "setpoints.html", "checks/by-week.html", "findings.html", "revisions.html",
         "figures/setpoint.pit.html", "cards/status.html", "glossary.html", "models/two-pumped.html")  # fmt: skip
TOLD = re.compile(r'\b(?:href|title|data-[a-z-]+)="([^"]*)"')
CODE = re.compile(r"<(?:script|style)\b.*?</(?:script|style)>|<!--.*?-->", re.DOTALL)


def told_digits(html):
    """Digits that a page tells: of its text, and of what it hands to links, scripts and pointers; not of strokes."""
    spoken = CODE.sub(lambda found: " " * len(found[0]), html)
    inside = [(match.start(), match.end()) for match in re.finditer(r"<[^>]*>", spoken)]
    kept = [(match.start(1), match.end(1)) for match in TOLD.finditer(spoken)]
    tags = bytearray(len(spoken))
    for start, end in inside:
        tags[start:end] = b"\1" * (end - start)
    for start, end in kept:
        tags[start:end] = b"\0" * (end - start)
    entities = {at for match in re.finditer(r"&#?\w+;", spoken) for at in range(*match.span())}
    return [at for at in every_digit(spoken) if not tags[at] and at not in entities]


@pytest.mark.parametrize("path", PAGES)
def test_a_digit_on_a_page(site, path):
    checks = (check_pages, check_links, check_words, *((check_ledger,) if path.startswith("figures/") else ()))
    pages = PAGES[:4] if path in PAGES[:4] else (path, *PAGES[:3])
    if path.startswith("figures/"):
        pages = tuple(name for name in site.files if name.startswith("figures/"))
    assert examined(Changed(site, path, site.data(path), pages), checks).faults == []
    assert unseen(site, path, checks, told_digits, pages) == []


# ---- paper -------------------------------------------------------------------------------------


def digit_codes(page):
    """Name of each face on a page -> code of a glyph -> its digit, by the face's own table of characters."""
    made = {}
    for name, font in page["/Resources"]["/Font"].items():
        table = font.get_object()["/ToUnicode"].get_object().get_data()
        pairs = re.findall(rb"<([0-9a-f]{4})> <00(3[0-9])>", table)
        made[name.encode()] = {code: chr(int(character, 16)) for code, character in pairs}
    return made


def glyphs(content, codes):
    """(place of the code, face) of every digit drawn, in the order drawn."""
    face = {}
    for token in re.finditer(rb"(/\w+) [0-9.]+ Tf|<([0-9a-f]{4,})>", content):
        if token[1]:
            face = codes.get(token[1], {})
            continue
        for at in range(token.start(2), token.end(2), 4):
            if content[at : at + 4] in face:
                yield at, face


class Redrawn(Paper):
    """A paper of which one page is drawn with another digit."""

    def __init__(self, known, number, text):
        self.__dict__.update(known.__dict__)
        self.pages = [*known.pages[:number], text, *known.pages[number + 1 :]]


PAPERS = ("cards/pit-entrant.pdf", "cards/sheets/a7-on-a4.pdf", "forms/bump-test-pit.pdf", "forms/calibration-pit.pdf",
          "handbook.pdf")  # fmt: skip


@pytest.mark.parametrize("path", PAPERS)
def test_a_digit_on_paper(site, path):
    assert unseen_on_paper(site, path) == []


def unseen_on_paper(site, path):
    """Where another digit on a paper is not found: its page, the digit, the other one, how the page begins."""
    data, entry = site.data(path), site.json("numbers.json")["artefacts"][path]
    known = Paper(data, path)
    assert check_paper(known, entry) == ""
    writer = PdfWriter(clone_from=io.BytesIO(data))
    drawn = []
    for number, page in enumerate(writer.pages):
        codes = digit_codes(page)
        drawn += [(number, at, face) for at, face in glyphs(page.get_contents().get_data(), codes) if len(face) > 1]
    assert len(drawn) >= 20
    missed = []
    for number, at, face in (drawn[one] for one in sample(range(len(drawn)))):
        page = writer.pages[number]
        before = page["/Contents"]
        content = page.get_contents().get_data()
        old = content[at : at + 4]
        new = sorted(code for code in face if code != old)[at % (len(face) - 1)]
        stream = DecodedStreamObject()
        stream.set_data(content[:at] + new + content[at + 4 :])
        page[NameObject("/Contents")] = stream
        text = page.extract_text()
        page[NameObject("/Contents")] = before
        assert sorted(text) != sorted(known.pages[number])
        if not check_paper(Redrawn(known, number, text), entry):
            missed.append((number + 1, face[old], face[new], known.pages[number][:60]))
    return missed


def test_a_digit_in_what_numbers_tells_of_paper(site):
    text = site.text("numbers.json")
    starts = sorted(text.index(f'"{path}": {{') for path in site.json("numbers.json")["artefacts"])
    missed = []
    for path in PAPERS:
        paper, start = Paper(site.data(path), path), text.index(f'"{path}": {{')
        end = next((other for other in starts if other > start), len(text))
        first = start + len(path) + 2
        for place in sample([first + at for at in every_digit(text[first:end])]):
            changed = text[:place] + another(text[place], place) + text[place + 1 :]
            told = Changed(site, "numbers.json", changed.encode())
            found = check_paper(paper, told.json("numbers.json")["artefacts"][path])
            if not found and not examined(told, (check_words,)).faults:
                missed.append((path, text[place - 40 : place + 20]))
    assert missed == [], missed
