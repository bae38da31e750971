"""The ledger against itself, against the page of each derivation, and against every other place that tells it."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Mapping
from fractions import Fraction
from io import StringIO
from typing import Any

from builder.verify.reading import DIGITS, packed
from builder.verify.report import Report
from builder.verify.site import Site

HANDED = re.compile(r'handbook\.take\("derivations:[^"]*",(?P<data>\{.*\})\);\s*\Z', re.DOTALL)
TOLERANCE = Fraction(1, 10**9)


def check_ledger(site: Site, report: Report) -> None:
    """Every figure of the ledger: consistent in itself, and told alike by its derivation."""
    own, told = report.check("figures of the ledger"), report.check("derivations against the ledger")
    for key, figure in site.figures.items():
        own.expect(consistent(figure), f"{site.at('figures.json')}: {key} contradicts itself: {summary(figure)}")
        section = next((page.sections[key] for page in site.derivation_pages() if key in page.sections), None)
        if section is None:
            told.expect(False, f"{site.at('figures.json')}: {key} has no derivation on any page")
            continue
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


def check_tables(site: Site, report: Report) -> None:
    """The data handed to scripts, and the table of figures, tell what the ledger tells."""
    check = report.check("figures handed to scripts and spreadsheets")
    for path in site.paths("assets/derivations/", ".js"):
        match = HANDED.search(site.text(path))
        if not check.expect(match is not None, f"{site.at(path)}: cannot be read"):
            continue
        assert match is not None  # noqa: S101 - expected above
        for key, told in json.loads(match["data"]).items():
            good = key in site.figures and packed(told["printed"]) == packed(site.figures[key]["printed"])
            check.expect(good, f"{site.at(path)}: {key} is told as {told['printed']!r}")
    if not site.has("data/figures.csv"):
        return
    for row in csv.DictReader(StringIO(site.text("data/figures.csv").removeprefix("\ufeff"))):
        figure = site.figures.get(row["key"])
        good = figure is not None and packed(row["printed"].removeprefix("'")) == packed(figure["printed"])
        check.expect(good, f"{site.at('data/figures.csv')}: {row['key']} is told as {row['printed']!r}")


def check_words(site: Site, report: Report) -> None:
    """Findings, procedures, alarm actions and card codes stand on their pages as the data files tell them."""
    check = report.check("findings, procedures and codes against their pages")
    findings = site.page("findings.html")
    for finding in site.json("findings.json")["findings"]:
        good = findings is not None and packed(finding["message"]) in findings.text
        check.expect(good, f"{site.at('findings.json')}: findings.html does not say {finding['message']!r}")
    texts = site.json("texts.json")
    for name, procedure in texts["procedures"].items():
        page = site.page(f"procedures/{'index-' if name == 'index' else name}.html")
        for line in (procedure["title"], *procedure["cautions"], *procedure["steps"]):
            good = page is not None and all(packed(part) in page.text for part in line.split(" | "))
            check.expect(good, f"{site.at('texts.json')}: procedure {name} does not say {line!r}")
    numbers = site.json("numbers.json")["artefacts"]
    for path, lines in texts["documents"].items():
        good = path in numbers and DIGITS.findall(" ".join(lines)) == numbers[path]["bag"].split()
        check.expect(good, f"{site.at('texts.json')}: what it says of {path} is not what numbers.json counts")
    setpoints = site.page("setpoints.html")
    for name, action in texts["actions"].items():
        good = setpoints is not None and packed(action) in setpoints.text
        check.expect(good, f"{site.at('texts.json')}: setpoints.html does not say {action!r} of {name}")
    index, status = site.page("cards/index.html"), site.page("cards/status.html")
    for card in site.json("cards.json")["cards"]:
        good = index is not None and status is not None and card["code"] in index.text and card["code"] in status.ids
        check.expect(good, f"{site.at('cards.json')}: code {card['code']} of {card['id']} is on no page")
