"""The ledger against itself, against the page of each derivation, and against what is handed to scripts."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from builder.verify.reading import DIGITS, packed
from builder.verify.report import Report
from builder.verify.site import Site

HANDED = re.compile(r'handbook\.take\("derivations:[^"]*",(?P<data>\{.*\})\);\s*\Z', re.DOTALL)
TOLERANCE = Fraction(1, 10**9)
MOST_PLACES = 24
"""So many places at most are told in place; beyond them only how many there are."""


def check_ledger(site: Site, report: Report) -> None:
    """Every figure of the ledger: consistent in itself, and told alike by its derivation."""
    own, told = report.check("figures of the ledger"), report.check("derivations against the ledger")
    for key, figure in site.figures.items():
        own.expect(consistent(figure), f"{site.at('figures.json')}: {key} contradicts itself: {summary(figure)}")
        section = next((page.sections[key] for page in site.derivation_pages() if key in page.sections), None)
        if section is None:
            told.expect(False, f"{site.at('figures.json')}: {key} has no derivation on any page")
            continue
        spoken = figure.get("texts", {}).values()
        own.expect(
            all(sorted(DIGITS.findall(text)) == sorted(DIGITS.findall(figure["text"])) for text in spoken),
            f"{site.at('figures.json')}: {key} has other digits in another language",
        )
        missing = [text for text in derivation_words(figure) if packed(text) not in section]
        told.expect(not missing, f"{site.at('figures.json')}: {key}: its derivation does not say {missing[:3]}")


def summary(figure: Mapping[str, Any]) -> str:
    """The parts that must agree."""
    names = ("relation", "text", "unit", "printed", "exact", "decimal")
    return ", ".join(f"{name} {figure[name]!r}" for name in names if figure[name])


def consistent(figure: Mapping[str, Any]) -> bool:
    """Whether printed text, number, exact value and decimal of a figure agree."""
    whole, exact = packed(figure["printed"]), figure["exact"]
    if not whole.startswith(packed(figure["relation"] + figure["text"])):
        return False
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", exact):
        day = str(int(exact[8:]))
        return bool(figure["decimal"] == exact and packed(figure["text"]).startswith(day) and exact[:4] in whole)
    value, decimal = Fraction(exact), Fraction(figure["decimal"])
    if abs(value - decimal) > TOLERANCE * abs(value):
        return False
    number = packed(figure["text"]).replace("−", "-").replace(",", "")
    if not re.fullmatch(r"-?[0-9]+(?:\.[0-9]+)?", number):
        return True
    printed = Fraction(number)
    if figure["direction"] == "up":
        return printed >= value
    if figure["direction"] == "down":
        return printed <= value
    return abs(printed - value) * 2 <= _last_place(number) or not figure["direction"] or _coarse(figure, printed, value)


def _last_place(number: str) -> Fraction:
    _, _, part = number.partition(".")
    return Fraction(1, 10 ** len(part))


def _coarse(figure: Mapping[str, Any], printed: Fraction, value: Fraction) -> bool:
    """Nearest of a step or of significant digits, which can be coarser than the last place shown."""
    step = re.search(r"step ([0-9.]+(?:/[0-9]+)?)", figure["rounding"])
    size = re.search(r"([0-9]+) significant", figure["rounding"])
    if step:
        return abs(printed - value) * 2 <= Fraction(step[1])
    return bool(size) and abs(printed - value) <= abs(value) / 10 ** (int(size[1]) - 1) if size else False


def derivation_words(figure: Mapping[str, Any]) -> list[str]:
    """What the derivation of a figure must say."""
    inputs = [
        text for part in figure["inputs"] for text in (part["label"], part["text"], part["where"], part["source"])
    ]
    own = [figure[name] for name in ("label", "printed", "decimal", "formula", "source", "note", "expression")]
    return [text for text in (*own, *inputs) if text]


def check_scripts(site: Site, report: Report) -> None:
    """The derivations handed to scripts tell of each figure once, and all that the ledger tells."""
    check = report.check("derivations handed to scripts")
    told_of: set[str] = set()
    into: dict[str, list[str]] = {}
    for key, figure in site.figures.items():
        for name in dict.fromkeys(part["figure"] for part in figure["inputs"] if part["figure"]):
            into.setdefault(name, []).append(key)
    for path in site.paths("assets/derivations/", ".js"):
        match = HANDED.search(site.text(path))
        for key, told in (json.loads(match["data"]) if match else {}).items():
            figure = site.figures.get(key)
            told_of.add(key)
            if check.expect(figure is not None, f"{site.at(path)}: no figure is called {key}") and figure:
                why = next(_told_otherwise(site, figure, told, into.get(key, [])), "")
                check.expect(not why, f"{site.at(path)}: {key}: {why}")
    missing = sorted(set(site.figures) - told_of)
    check.expect(not missing, f"{site.at('assets/derivations/')} does not tell of {missing[:3]}")


def _told_otherwise(site: Site, figure: Mapping[str, Any], told: Mapping[str, Any], into: list[str]) -> Iterator[str]:
    """Each thing that a derivation tells otherwise than the ledger."""
    words = {name: figure[name] for name in ("label", "printed", "source", "note")}
    words |= {"id": figure["formula"], "rounding": figure["rounding"] or "printed as it is"}
    for name, wanted in words.items():
        if packed(told.get(name, "")) != packed(wanted):
            yield f"{name} is told as {told.get(name, '')!r}, but is {wanted!r}"
    value, _, exactly = packed(told["exact"]).partition("(exactly")
    if not value.startswith(packed(figure["decimal"])) or exactly not in ("", packed(figure["exact"]) + ")"):
        yield f"the exact value is told as {told['exact']!r}, but is {figure['exact']}"
    if not packed(told.get("formula", "")).endswith(packed(figure["expression"])):
        yield f"the formula is told as {told.get('formula', '')!r}, but is {figure['expression']!r}"
    if told.get("from", []) != [_told_part(part) for part in figure["inputs"]]:
        yield "it is told as made from other things"
    if bool(told.get("unread")) is figure["read"] or told.get("unread", 1) != 1:
        yield "it is told otherwise whether it was read in its source"
    if set(told.get("into", [])) - set(into) or told.get("into-all", 0) != len(into):
        yield "it is told to go into other figures"
    places, count = told.get("on", []), told.get("on-all", 0)
    if count < len(places) or (count > len(places) and len(places) < MOST_PLACES):
        yield f"it is told to stand in {count} places"
    for title, href in places:
        path, _, anchor = href.partition("#")
        page = site.page(path) if path.endswith(".html") else None
        if anchor.startswith("card-") and page and anchor in page.ids:
            path = f"cards/{anchor.removeprefix('card-')}.pdf"
        if path not in figure["printed_on"] or (page and packed(title.partition(": ")[2] or title) not in page.text):
            yield f"it is told to stand on {href} as {title!r}"


def _told_part(part: Mapping[str, Any]) -> list[Any]:
    found = "; ".join(text for text in (part["where"], part["source"]) if text)
    return [part["label"], part["text"], part["figure"], found, 1 if part["read"] else 0]
