"""Words and codes of the data files against the pages and papers that say them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import Any

from builder.history.edition import ABOUT
from builder.verify.reading import DIGITS, packed
from builder.verify.report import Report
from builder.verify.site import Site

FILES = ("figures.json", "findings.json", "texts.json", "cards.json")
FACTS = ("format", "site", "revision", "as_of", "builder")


def check_words(site: Site, report: Report) -> None:
    """Findings, procedures, alarm actions and cards stand on their pages as the data files tell them."""
    _facts(site, report)
    check = report.check("findings, procedures and codes against their pages")
    for finding in site.json("findings.json")["findings"]:
        for name, good in _finding(site, finding):
            check.expect(good, f"{site.at('findings.json')}: findings.html does not say {name} {finding[name]!r}")
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
        good = setpoints is not None and packed(action) in setpoints.text and _alarm(site, name)
        check.expect(good, f"{site.at('texts.json')}: setpoints.html does not say {action!r} of {name}")
    _sheets(site, numbers, report)
    cards = report.check("cards against their pages, figures and numbers")
    for card in site.json("cards.json")["cards"]:
        for good, what in _card(site, card, numbers):
            cards.expect(good, f"{site.at('cards.json')}: {card['id']}: {what}")


def _facts(site: Site, report: Report) -> None:
    """All data files are of one edition, the one that the pages name."""
    check = report.check("files of data of one edition")
    first = site.page("index.html")
    told = {name: {str(site.json(name).get(fact)) for fact in FACTS} for name in FILES}
    usual = told[FILES[0]]
    for name, found in told.items():
        check.expect(found == usual, f"{site.at(name)} is of another edition, site or day than {FILES[0]}")
    ledger = site.json(FILES[0])
    around = packed("".join(first.frame)) if first else ""
    if site.has(ABOUT):
        for good, what in _about(site, site.json(ABOUT), ledger):
            check.expect(good, f"{site.at(ABOUT)}: {what}")
    for good, fact in (
        (ledger["as_of"] == site.figures["handbook.as-of"]["exact"], "as_of"),
        (packed(ledger["revision"]) in around, "revision"),
        (packed(ledger["site"]) in around, "site"),
    ):
        check.expect(good, f"{site.at(FILES[0])}: {fact} {ledger[fact]!r} is not what the pages say")


def _about(site: Site, about: Mapping[str, Any], ledger: Mapping[str, Any]) -> Iterator[tuple[bool, str]]:
    """(whether it holds, what does not) of who made an edition, when and with what."""
    yield about["as_of"] == ledger["as_of"], f"it tells of {about['as_of']}, but the ledger is of {ledger['as_of']}"
    yield about["versions"]["builder"] == ledger["builder"], "the builder is of another version than the ledger tells"
    yield about["format"] == ledger["format"], "it is of another format than the ledger"
    if "number" in about:
        number, page = about["number"], site.page("revisions.html")
        yield ledger["revision"] == f"Revision {number}", f"it tells of revision {number}"
        effective = site.figures.get(f"revision.{number}.effective", {"exact": ""})["exact"]
        yield about["effective"] == effective, f"it is effective {about['effective']}, but the ledger tells {effective}"
        for name in ("reason", "prepared", "reviewed", "approved"):
            good = page is not None and packed(about[name]) in page.text
            yield good, f"revisions.html does not say {name} {about[name]!r}"


def _alarm(site: Site, name: str) -> bool:
    """Whether an alarm is one of the ledger; those of an area may share one figure of another name."""
    key = f"setpoint.{name}"
    return key in site.figures or any(known.startswith(f"{key}.") for known in site.figures)


def _finding(site: Site, finding: Mapping[str, Any]) -> Iterator[tuple[str, bool]]:
    page = site.page("findings.html")
    for name in ("message", "mend", "source", "where", "rule"):
        yield name, page is not None and packed(finding[name]) in page.text
    yield "figures", page is not None and all(packed(key) in page.text for key in finding["figures"])
    yield "subject", _has_page(site, finding["subject"])


def _has_page(site: Site, reference: str) -> bool:
    """Whether the findings page leads to what a reference such as ``unit:d-001`` names."""
    name = reference.partition(":")[2]
    page = site.page("findings.html")
    return not name or (page is not None and (name in " ".join(page.links) or packed(name) in page.text))


def _sheets(site: Site, numbers: Mapping[str, Any], report: Report) -> None:
    """An imposed sheet has the blocks of its cards, what stands around them, and the name and code of each."""
    check = report.check("imposed sheets against their cards")
    wanted: dict[str, tuple[list[str], list[str]]] = {}
    for card in site.json("cards.json")["cards"]:
        entry = numbers[f"cards/{card['id']}.pdf"]
        for path in site.paths(f"cards/sheets/{card['format'].lower()}-on-", ".pdf"):
            cells, frame = wanted.setdefault(path, ([], []))
            cells += entry["cells"]
            frame += [*entry["frame"].split(), *DIGITS.findall(f"{card['id']} {card['code']}")]
    for path, (cells, frame) in wanted.items():
        told = numbers[path]
        good = (told["cells"], told["frame"].split()) == (cells, frame)
        check.expect(good, f"{site.at('numbers.json')}: what it tells of {path} is not what it tells of its cards")


def _card(site: Site, card: Mapping[str, Any], numbers: Mapping[str, Any]) -> Iterator[tuple[bool, str]]:
    """(whether it holds, what does not) of all that is told of a card."""
    path, code = f"cards/{card['id']}.pdf", card["code"]
    index, status = site.page("cards/index.html"), site.page("cards/status.html")
    on_pages = index is not None and status is not None and code in index.text and code in status.ids
    yield on_pages, f"code {code} is on no page"
    yield card["title"] == card["lines"][0], f"its title {card['title']!r} is not what it says first"
    told = json.dumps([card["audience"], card["format"], card["language"], card["lines"]], ensure_ascii=True)
    yield hashlib.sha256(told.encode()).hexdigest() == card["face"], "its face is not that of its lines"
    entry = numbers.get(path)
    if entry is None:
        yield False, f"numbers.json has no {path}"
        return
    lines = DIGITS.findall(" ".join((card["title"], *card["lines"][1:])))
    cells = [*DIGITS.findall(card["title"]), *" ".join(entry["cells"]).split()]
    yield lines == cells, "its lines have other digits than numbers.json"
    around, foot, own = entry["frame"].split(), DIGITS.findall(f"{card['title']} {card['foot']}"), DIGITS.findall(code)
    rest = around[len(foot) :]
    yield (
        around[: len(foot)] == foot and rest == own * (len(rest) // len(own or "-")),
        "its foot or code has other digits",
    )
    until = site.figures.get(f"card.{card['id'].partition('.')[0]}.valid-until")
    said = until["printed"] if until else ""
    yield card["valid_until"] == said, f"valid until {card['valid_until']!r}, but the ledger says {said!r}"
    unknown = [key for key in card["figures"] if path not in site.figures.get(key, {"printed_on": ()})["printed_on"]]
    yield not unknown, f"it is told to print {unknown[:3]}"
    sheets = site.paths(f"cards/sheets/{card['format'].lower()}-on-", ".pdf")
    yield bool(sheets), f"no sheet holds its format {card['format']!r}"
    area = card["area"]
    yield not area or site.has(site.thing("areas", area)), f"no area is called {area!r}"
