"""The search index against the pages it leads to, and against the keys of the ledger."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any

from builder.verify.reading import DIGITS, packed
from builder.verify.report import Check, Report
from builder.verify.site import Site

INDEX = "assets/search-index.js"
RECORDS = "assets/search-records.js"
WORD = re.compile(r"[^\W_]+")
HANDED = re.compile(r'handbook\.take\("(index|records)",(?P<data>\{.*\})\);\s*\Z', re.DOTALL)


def check_index(site: Site, report: Report) -> None:
    """Every entry leads to a page that says its title and its other words; every figure is in it once."""
    check = report.check("entries of the search index")
    if not site.has(INDEX):
        check.expect(False, f"{site.at(INDEX)} is missing")
        return
    match = HANDED.search(site.text(INDEX))
    if not check.expect(match is not None, f"{site.at(INDEX)} cannot be read") or match is None:
        return
    data = json.loads(match["data"])
    for entry in data["entries"]:
        why = next(_otherwise(site, data["kinds"], entry), "")
        check.expect(not why, f"{site.at(INDEX)}: {entry[1]!r}: {why}")
    strange = sorted(set(_words(site, data)))
    check.expect(not strange, f"{site.at(INDEX)} finds figures by {strange[:3]}, which is on none")
    keys = list(_keys(data))
    if data["records"] and site.has(RECORDS):
        keys += _record_keys(site, check)
    wanted = sorted(site.figures)
    check.expect(sorted(keys) == wanted, f"{site.at(INDEX)} does not name every figure once")


def _words(site: Site, data: Mapping[str, Any]) -> Iterator[str]:
    """Words with digits that a figure is found by, though neither a label, a key nor an entry has them."""
    titles = (f"{title}|{words}" for _, title, words, *_ in data["entries"])
    labels = (f"{key} {figure['label']}" for key, figure in site.figures.items())
    known = set(WORD.findall(_plain(" ".join((*titles, *labels))).casefold()))
    told = [words for tails in data["tails"] for _, _, words in (tail.partition("=") for tail in tails.split(";"))]
    for word in WORD.findall(_plain(" ".join((*told, *data["about"].values(), *data["spellings"]))).casefold()):
        if DIGITS.search(word) and word not in known:
            yield word


def _keys(data: Mapping[str, Any]) -> Iterator[str]:
    """Every key of a figure that the index tells: beginnings that share a list of endings."""
    for first, number, seconds in data["figures"]:
        for second in seconds.split(" "):
            for tail in data["tails"][number].split(";"):
                yield ".".join(filter(None, (first, second, tail.partition("=")[0])))


def _record_keys(site: Site, check: Check) -> Iterator[str]:
    """Every key of a figure of a record; rows are told in runs: how many are left out, how many follow, their list."""
    match = HANDED.search(site.text(RECORDS))
    if not check.expect(match is not None, f"{site.at(RECORDS)} cannot be read") or match is None:
        return
    data = json.loads(match["data"])
    for file, runs in data["files"]:
        row = 1
        for skipped, count, number in zip(*[iter(runs)] * 3, strict=True):
            row += skipped
            for one in range(row, row + count):
                for tail in data["tails"][number].split(";"):
                    yield ".".join(filter(None, ("record", file, str(one), tail.partition("=")[0])))
            row += count


def _otherwise(site: Site, kinds: list[list[str]], entry: list[Any]) -> Iterator[str]:
    """What an entry tells otherwise than the page it leads to."""
    kind, title, words, *place = entry
    start = kinds[kind][1]
    href = f"{start}/{place[0] if place else f'{title}.html'}".removeprefix("/")
    path, _, anchor = href.partition("#")
    page = site.page(path) if path.endswith(".html") else None
    if page is None:
        if not site.has(path):
            yield f"there is no {path}"
        return
    if anchor and anchor not in page.ids:
        yield f"{path} has no place {anchor!r}"
    said = _plain(page.text + packed(" ".join((*page.links, *sorted(page.ids), path))))
    for text in (title, *words.split("|")):
        if _plain(packed(text)) not in said:
            yield f"{path} does not say {text!r}"


def _plain(text: str) -> str:
    """Text with subscripts as plain digits, as a page sets them in an element of their own."""
    return unicodedata.normalize("NFKC", text)
