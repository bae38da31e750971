"""The words of a handbook that a later edition is compared with: procedures, alarm actions, cards, forms, labels."""

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.pages.blocks import Block, Fig, Inlines, Notice, Table
from builder.pages.compositions import Card, Page, figures_in
from builder.pages.forms import LogSheet
from builder.pages.label_kinds import ABOUT, Label
from builder.pages.labels import LabelPages
from builder.pages.numbers import spoken_figures
from builder.pages.outputs import Outputs
from builder.pages.plain import Words, card_lines
from builder.program.keys.families import CARD_VALID_UNTIL
from builder.program.program import Program

NOT_WORDS = (
    *("id", "checks", "area", "draft", "foot", "code", "language", "paper", "grid", "invented", "site", "kind", "page"),
    *("spare", "left_out"),
)
"""Fields of a form or label that are no words of it, or that every revision changes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CarriedTexts:
    """All of it as plain data, ready to be written."""

    procedures: dict[str, dict[str, Any]]
    actions: dict[str, str]
    documents: dict[str, list[str]]
    about: dict[str, list[str]]
    """Path of a sheet of labels -> what each of them tells of its unit, as far as it has room."""
    cards: list[dict[str, Any]]


def texts_of(
    program: Program, ledger: Ledger, pages: Iterable[Page], cards: Iterable[Card], outputs: Outputs
) -> CarriedTexts:
    """The words of everything that people carry or act by."""
    words = Words(ledger.figures)
    of_pages = {page.id: page for page in pages}
    return CarriedTexts(
        procedures={
            name: _procedure(of_pages[f"procedure:{name}"], words)
            for name in sorted(program.procedures)
            if f"procedure:{name}" in of_pages
        },
        actions=dict(sorted(_actions(program))),
        documents=document_lines(outputs, ledger.figures),
        about={sheet.path: list(_about(sheet, ledger.figures)) for sheet in outputs.labels},
        cards=[_card(program, card, ledger) for card in cards],
    )


def _procedure(page: Page, words: Words) -> dict[str, Any]:
    cautions = [block for block in page.blocks if isinstance(block, Notice) and block.kind == "caution"]
    return {
        "title": page.title,
        "cautions": [line for notice in cautions for line in words.lines(notice.content)],
        "steps": list(words.lines(_body(page.blocks))),
    }


def _body(blocks: tuple[Block, ...]) -> Iterator[Block]:
    """What the author wrote: everything up to the facts that the builder adds at the end, without its notices."""
    for block in blocks:
        if isinstance(block, Table) and block.kind == "facts":
            return
        if not isinstance(block, Notice):
            yield block


def _actions(program: Program) -> Iterator[tuple[str, str]]:
    for entry in program.setpoints:
        for area in program.areas_of(entry):
            if entry.channel.value in program.channels_in(area):
                for name, alarm in entry.alarms.items():
                    yield f"{area.id}.{entry.channel.value}.{name}", alarm.action.value


def document_lines(outputs: Outputs, figures: Mapping[str, Figure]) -> dict[str, list[str]]:
    """Path of each form and sheet of labels -> its words."""
    papers: tuple[LogSheet | LabelPages, ...] = (*outputs.log_sheets, *outputs.labels)
    return {paper.path: _form_lines(paper, _words_in(paper.language, figures)) for paper in papers}


def _about(sheet: LabelPages, figures: Mapping[str, Figure]) -> Iterator[str]:
    words = _words_in(sheet.language, figures)
    for label in sheet.labels:
        spare = [words.inline(line) for line, name in zip(_spare(label), label.spare, strict=True) if name in ABOUT]
        if spare:
            yield f"{label.name}: {'. '.join(spare)}"


def _spare(label: Label) -> tuple[Inlines, ...]:
    """The lines that may be left out for want of room: no words that its paper surely has."""
    return label.lines[len(label.lines) - len(label.spare) :]


def _words_in(language: str, figures: Mapping[str, Figure]) -> Words:
    return Words(spoken_figures(figures, language))


def _form_lines(form: object, words: Words) -> list[str]:
    """The words of a form, a line for each run of plain words; units, cylinders and notes to fill in included."""
    if isinstance(form, str):
        return [form] if form else []
    if isinstance(form, Fig):
        return [words.inline((form,))]
    if isinstance(form, tuple):
        if form and all(isinstance(part, Fig) or hasattr(part, "text") for part in form):
            return [words.inline(form)]
        return [line for part in form for line in _form_lines(part, words)]
    if isinstance(form, Label):
        form = replace(form, lines=form.lines[: len(form.lines) - len(form.spare)])
    if is_dataclass(form):
        kept = (part.name for part in fields(form) if part.name not in NOT_WORDS)
        return [line for name in kept for line in _form_lines(getattr(form, name), words)]
    return []


def _card(program: Program, card: Card, ledger: Ledger) -> dict[str, Any]:
    spec = program.cards[card.id]
    lines = card_lines(card, ledger.figures)
    told = json.dumps([card.audience, card.format, card.language, lines], ensure_ascii=True).encode()
    until = ledger.get(CARD_VALID_UNTIL(card=card.id))
    return {
        "id": card.name,
        "title": card.title,
        "audience": card.audience,
        "area": spec.area.value if spec.area else "",
        "format": card.format,
        "language": card.language,
        "code": card.code,
        "face": hashlib.sha256(told).hexdigest(),
        "foot": Words(spoken_figures(ledger.figures, card.language)).inline(card.foot),
        "valid_until": until.printed if until else "",
        "lines": list(lines),
        "figures": sorted(set(figures_in(card.sides))),
    }
