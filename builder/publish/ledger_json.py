"""The data of a site as JSON for anybody's own program: ledger, findings, what prints it, words, cards, provenance."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict
from datetime import date
from typing import Any

from builder.base.digest import digest
from builder.base.finding import Finding
from builder.base.parted import runs_of
from builder.base.rounding import plain
from builder.base.sources import code_digest
from builder.base.spool import Spool
from builder.base.store import NoStore, Store
from builder.figures.figure import Figure, Input
from builder.figures.formulas.registry import formula_of
from builder.figures.ledger import Ledger
from builder.figures.recompute import rule_of
from builder.figures.values import json_value
from builder.history.chapters import ChaptersTold
from builder.history.edition import CARDS, TEXTS
from builder.history.ledger_files import FIGURES, FORMAT, part_path
from builder.pages.texts import CarriedTexts
from builder.program.revisions import Revision
from builder.publish.versions import versions
from builder.render.page_cache import PageCache


def put_ledger(
    files: Spool,
    ledger: Ledger,
    printed_on: Mapping[str, Iterable[str]],
    facts: Mapping[str, Any],
    texts: Mapping[str, Mapping[str, str]] | None = None,
    store: Store | None = None,
) -> None:
    """Every figure with its derivation, and the artefacts that print it: the parts and their index.

    :param printed_on: path of an artefact -> keys of the figures it prints.
    :param facts: what the whole ledger holds for: site, day, builder's version.
    :param texts: key -> language -> what a card in that language prints for it.
    :param store: tells which parts are still right.
    """
    where: dict[str, list[str]] = {key: [] for key in ledger.figures}
    for path, keys in sorted(printed_on.items()):
        for key in dict.fromkeys(keys):
            where[key].append(path)
    spoken, parts = texts or {}, []

    def part(decided: tuple[tuple[str, ...], object]) -> bytes:
        entries = {
            key: _figure(ledger.figures[key], where[key]) | ({"texts": dict(spoken[key])} if key in spoken else {})
            for key in decided[0]
        }
        return dump({"format": FORMAT, "figures": entries})

    kept: PageCache[tuple[tuple[str, ...], object]] = PageCache(
        store or NoStore(), digest("ledger", code_digest()), (), part, documents=False
    )
    for at, run in enumerate(runs_of(sorted(ledger.figures))):
        kept.rendered((run, [(ledger.told[key], where[key], spoken.get(key)) for key in run])).put(files, part_path(at))
        parts.append({"file": part_path(at), "first": run[0], "figures": len(run)})
    kept.keep()
    files[FIGURES] = dump({"format": FORMAT, **facts, "parts": parts})


def findings_json(findings: Iterable[Finding], facts: Mapping[str, Any]) -> bytes:
    """Every finding, the gravest first."""
    return dump({"format": FORMAT, **facts, "findings": [finding_entry(finding) for finding in findings]})


def finding_entry(finding: Finding) -> dict[str, Any]:
    """A finding as files of data have it."""
    return {
        "rule": finding.rule,
        "severity": finding.severity.value,
        "message": finding.message,
        "where": str(finding.where),
        "figures": list(finding.figures),
        "source": finding.source,
        "mend": finding.mend,
        "subject": finding.subject,
        "touches": list(finding.touches),
        "lines": [str(where) for where in finding.lines],
    }


def _figure(figure: Figure, printed_on: list[str]) -> dict[str, Any]:
    return {
        "label": figure.label,
        "text": figure.text,
        "unit": figure.unit,
        "printed": figure.printed,
        "relation": figure.relation,
        "exact": figure.exact.isoformat() if isinstance(figure.exact, date) else str(figure.exact),
        "decimal": figure.exact.isoformat() if isinstance(figure.exact, date) else plain(figure.exact),
        "rounding": figure.rounding.words if figure.rounding else "",
        "rule": rule_of(figure.rounding),
        "formula": figure.formula,
        "version": formula_of(figure.formula).version,
        "expression": formula_of(figure.formula).expression,
        "source": figure.source,
        "read": figure.read,
        "note": figure.note,
        "inputs": [_input(part) for part in figure.inputs],
        "printed_on": printed_on,
        **({} if figure.part is None else {"part": figure.part}),
    }


def _input(part: Input) -> dict[str, Any]:
    return {
        "label": part.label,
        "text": part.text,
        "figure": part.figure,
        "where": str(part.where) if part.where else "",
        "source": part.source,
        "read": part.read,
        "decides": part.decides,
        **_argument(part),
    }


def _argument(part: Input) -> dict[str, Any]:
    """Of an argument of the formula its name, and how the figure is taken or the exact value."""
    if not part.parameter:
        return {}
    told = {"taken": part.taken} if part.figure else {"value": json_value(part.value)}
    return {"parameter": part.parameter, **told}


def dump(value: Mapping[str, object]) -> bytes:
    """A record as JSON, one line an entry of what it holds, the same bytes whatever the order of its keys."""
    parts = (f"{_text(name)}: {_lines(part)}" for name, part in sorted(value.items()))
    return ("{\n" + ",\n".join(parts) + "\n}\n").encode()


def _lines(part: object) -> str:
    """An entry a line: indented throughout, the ledger of a big site would take twice the bytes and far longer."""
    if isinstance(part, Mapping) and part:
        return "{\n" + ",\n".join(f" {_text(key)}: {_text(entry)}" for key, entry in sorted(part.items())) + "\n}"
    if isinstance(part, list) and part:
        return "[\n" + ",\n".join(f" {_text(entry)}" for entry in part) + "\n]"
    return _text(part)


_text: Callable[[object], str] = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode


# ---- what later editions read --------------------------------------------------------------


def chapters_json(chapters: ChaptersTold, facts: Mapping[str, Any]) -> bytes:
    """Every chapter of every book: its pages, what it prints, and since which revision."""
    books = {book: [asdict(chapter) for chapter in told] for book, told in chapters.items()}
    return dump({"format": FORMAT, **facts, "books": books})


def history_files(texts: CarriedTexts, facts: Mapping[str, Any]) -> dict[str, bytes]:
    """The files of a site that later editions read: words of procedures, alarm actions and forms; every card."""
    names = ("procedures", "actions", "documents", "about")
    words = {name: getattr(texts, name) for name in names}
    return {
        TEXTS: dump({"format": FORMAT, **facts, **words}),
        CARDS: dump({"format": FORMAT, **facts, "cards": texts.cards}),
    }


def entry_of(revision: Revision) -> dict[str, Any]:
    """What the content tells of a revision, by the names that ``about.json`` gives it."""
    return {
        "number": revision.number.value,
        "effective": revision.effective.value.isoformat(),
        "reason": revision.reason.value,
        "prepared": revision.prepared.value,
        "reviewed": revision.reviewed.value,
        "approved": revision.approved.value,
        "reviewed_on": revision.reviewed_on.value.isoformat() if revision.reviewed_on else None,
        "approved_on": revision.approved_on.value.isoformat() if revision.approved_on else None,
    }


def about_json(revision: Revision, as_of: str) -> bytes:
    """Who released it, when, why, and what it was made with."""
    return dump({"format": FORMAT, **entry_of(revision), "as_of": as_of, "versions": versions()})


def draft_json(as_of: str) -> bytes:
    """What a draft was made with, and the day it was judged on."""
    return dump({"format": FORMAT, "as_of": as_of, "versions": versions()})
