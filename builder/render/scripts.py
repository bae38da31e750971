"""The site's script files: code as it lies in ``templates/js``, and data as calls that hand it over.

Data comes as script files too, since a page read from a memory stick may load scripts but not fetch data.
"""

import json
import posixpath
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import Any

from builder.base.digest import digest
from builder.base.sources import code_digest
from builder.base.spool import Spool
from builder.base.store import Store
from builder.figures.figure import Figure
from builder.load.shipped_yaml import shipped_yaml
from builder.pages.handbook.entries import KINDS, LookupEntry
from builder.pages.handbook.figure_words import FigureWords
from builder.pages.handbook.page_words import KINDS_BY_USE, WordedPage
from builder.pages.handbook.reader_data import Decided, ReaderData, derivation
from builder.render.page_cache import PageCache
from builder.render.templates import templates_folder

FOLDER = "assets"
SEARCH = f"{FOLDER}/search.js"
DERIVATION = f"{FOLDER}/derivation.js"
EXACT = f"{FOLDER}/exact.js"
TOOLS = f"{FOLDER}/tools.js"
TABLES = f"{FOLDER}/tables.js"
EVERYWHERE = (SEARCH, DERIVATION, TABLES)
"""Scripts that every page loads; what is rarely asked for is loaded by them."""
INDEX = f"{FOLDER}/search-index.js"
RECORDS = f"{FOLDER}/search-records.js"
WORDS = f"{FOLDER}/search-words.js"
"""Loaded when somebody first types into the search field."""
FIGURE_PAGES = f"{FOLDER}/figure-pages.js"
DERIVATIONS = f"{FOLDER}/derivations"
MOST_PLACES = 24
"""So many pages that print a figure are named in place; the full list is in the ledger."""
DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"


def script_assets() -> dict[str, bytes]:
    """Site path -> bytes of the site's code."""
    folder = templates_folder() / "js"
    return {f"{FOLDER}/{path.name}": path.read_bytes() for path in sorted(folder.glob("*.js"))}


def handed_over(name: str, value: Any) -> bytes:
    """A script that hands ``value`` over under ``name``; what could end a line or a tag is escaped."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    for sign in ("<", "\u2028", "\u2029"):
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return f'"use strict";\nhandbook.take({json.dumps(name)},{text});\n'.encode()


def put_reader_scripts(
    files: Spool, data: ReaderData, figures: Mapping[str, Figure], hrefs: Mapping[str, str], store: Store
) -> None:
    """The data that the site's code asks for; ``store`` tells which derivations are still right."""
    files[INDEX] = index_script(data.entries, hrefs, data.figures)
    cut = {family: parts for family, parts in data.told_on.parts.items() if [name for _, name in parts] != [family]}
    files[FIGURE_PAGES] = handed_over("figure-pages", cut)
    if data.figures.rows:
        files[RECORDS] = records_script(data.figures)
    _put_derivations(files, data.derivations, figures, hrefs, store)


# ---- search ------------------------------------------------------------------


def index_script(entries: Sequence[LookupEntry], hrefs: Mapping[str, str], figures: FigureWords) -> bytes:
    """The search index. Paths of a kind share their beginning; figures of like groups share their list of endings."""
    kinds = [kind for kind, _ in KINDS]
    starts = {kind: _start([hrefs[entry.reference] for entry in entries if entry.kind == kind]) for kind in kinds}
    used = _used(number for _, number, _ in figures.groups)
    return handed_over(
        "index",
        {
            "kinds": [[word, starts[kind]] for kind, word in KINDS],
            "entries": [_row(entry, kinds.index(entry.kind), starts[entry.kind], hrefs) for entry in entries],
            "tails": _tails(figures, used),
            "figures": [[first, used[number], " ".join(seconds)] for first, number, seconds in figures.groups],
            "about": dict(figures.about),
            "spellings": dict(figures.spellings),
            "records": 1 if figures.rows else 0,
        },
    )


def records_script(figures: FigureWords) -> bytes:
    """Rows of records that have figures, loaded when a question asks for a record: rows in runs of one list."""
    used = _used(number for _, rows in figures.rows for _, number in rows)
    return handed_over(
        "records", {"tails": _tails(figures, used), "files": [[file, _runs(rows, used)] for file, rows in figures.rows]}
    )


def _used(numbers: Iterable[int]) -> dict[int, int]:
    """Number of a list in the data to its number in a script that has only the lists it needs."""
    return {number: place for place, number in enumerate(dict.fromkeys(numbers))}


def _tails(figures: FigureWords, used: Iterable[int]) -> list[str]:
    return [";".join(f"{tail}={words}" if words else tail for tail, words in figures.lists[number]) for number in used]


def _runs(rows: Iterable[tuple[int, int]], used: Mapping[int, int]) -> list[int]:
    """Flat: rows skipped, rows of the run, number of their list; and again."""
    made: list[int] = []
    after = 1
    for row, number in rows:
        if made and row == after and made[-1] == used[number]:
            made[-2] += 1
        else:
            made += [row - after, 1, used[number]]
        after = row + 1
    return made


def _start(paths: list[str]) -> str:
    """The folder that all of them lie in, empty for the site itself."""
    return posixpath.commonpath([posixpath.dirname(path) for path in paths]) if paths else ""


def _row(entry: LookupEntry, kind: int, start: str, hrefs: Mapping[str, str]) -> list[Any]:
    """Kind, title, other words, and the path below the kind's folder where it is not the title's own."""
    path = hrefs[entry.reference].removeprefix(start).removeprefix("/" if start else "")
    row: list[Any] = [kind, entry.title, "|".join(entry.words)]
    return row if path == f"{entry.title}.html" else [*row, path]


# ---- words of pages ----------------------------------------------------------


def words_script(pages: Sequence[WordedPage], hrefs: Mapping[str, str]) -> bytes:
    """Pages by number, and for each heading and word the runs of pages that have it."""
    heads: dict[tuple[str, str], list[int]] = {}
    words: dict[str, list[int]] = {}
    for number, page in enumerate(pages):
        for head in dict.fromkeys(page.heads):
            heads.setdefault(head, []).append(number)
        for word in page.words:
            words.setdefault(word, []).append(number)
    names = dict(KINDS)
    return handed_over(
        "words",
        {
            "kinds": [names[kind] for kind in KINDS_BY_USE],
            "pages": [[KINDS_BY_USE.index(page.kind), page.title, hrefs[page.reference]] for page in pages],
            "heads": [[text, anchor, runs(numbers)] for (text, anchor), numbers in heads.items()],
            "words": ";".join(f"{word}={runs(words[word])}" for word in sorted(words)),
            "asked": asked_words(),
        },
    )


def runs(numbers: Iterable[int]) -> str:
    """Rising numbers, briefly: how many were left out before each run, and how many more follow it, in base 36.

    >>> runs([0, 1, 2, 10, 50])
    '0-2 7 13'
    """
    made: list[list[int]] = []
    after = 0
    for number in numbers:
        if made and number == after:
            made[-1][1] += 1
        else:
            made.append([number - after, 0])
        after = number + 1
    return " ".join(f"{_base36(gap)}-{_base36(more)}" if more else _base36(gap) for gap, more in made)


def _base36(number: int) -> str:
    rest, last = divmod(number, len(DIGITS))
    return (_base36(rest) if rest else "") + DIGITS[last]


@cache
def asked_words() -> Mapping[str, str]:
    """A word as readers ask with it, without its ending, to the words that the handbook has for it.

    :raises ContentError: for a file that is no YAML.
    :raises TypeError: for one of another shape.
    """
    return shipped_yaml("prose/asked.yaml", dict[str, str])


# ---- derivations -------------------------------------------------------------


def _put_derivations(
    files: Spool,
    groups: Mapping[str, Sequence[Decided]],
    figures: Mapping[str, Figure],
    hrefs: Mapping[str, str],
    store: Store,
) -> None:
    """A script for each group of figures; what is empty is left out."""

    def script(group: tuple[str, Sequence[Decided]], hrefs: Mapping[str, str]) -> bytes:
        name, found = group
        told = ((one.key, derivation(figures[one.key]) | _goes(one, hrefs)) for one in found)
        filled = {key: {word: value for word, value in made.items() if value} for key, made in told}
        return handed_over(f"derivations:{name}", filled)

    kept: PageCache[tuple[str, Sequence[Decided]]] = PageCache(
        store, digest("derivations", code_digest()), (hrefs,), script, documents=False
    )
    for group in groups.items():
        kept.rendered(group).put(files, f"{DERIVATIONS}/{group[0]}.js")
    kept.keep()


def _goes(one: Decided, hrefs: Mapping[str, str]) -> dict[str, Any]:
    """Where a figure goes."""
    places = [(title, hrefs[on]) for on, title in one.printed_on if on in hrefs]
    return {
        "into": one.used_by[:MOST_PLACES],
        "into-all": len(one.used_by),
        "on": places[:MOST_PLACES],
        "on-all": len(places),
    }
