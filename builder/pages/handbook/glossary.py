"""Terms of the trade in plain words, each with where it comes from and how well that was checked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from builder.pages.blocks import Block, Heading, Page
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import head, inlines, listed, page, para, to
from builder.pages.handbook.sections import path_of
from builder.pages.handbook.terms_air import AIR, EXPLOSION, EXPOSURE
from builder.pages.handbook.terms_detectors import CHECKS, PAPERS, READINGS, SAMPLING, SENSORS
from builder.pages.handbook.terms_record import CHECKED, GlossaryTerm

__all__ = ["GROUPS", "TERMS", "GlossaryTerm", "Group", "glossary_page"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Terms that are read together."""

    title: str
    terms: tuple[GlossaryTerm, ...]


GROUPS: Final[tuple[Group, ...]] = (
    Group(title="Air and places", terms=AIR),
    Group(title="Explosive gas", terms=EXPLOSION),
    Group(title="Limits of exposure", terms=EXPOSURE),
    Group(title="Sensors", terms=SENSORS),
    Group(title="Readings and alarms", terms=READINGS),
    Group(title="Checks and adjustment", terms=CHECKS),
    Group(title="Testing through a hose", terms=SAMPLING),
    Group(title="Records and papers", terms=PAPERS),
)
TERMS: Final[tuple[GlossaryTerm, ...]] = tuple(term for group in GROUPS for term in group.terms)
NAMES: Final = {term.id: term.name for term in TERMS}


def glossary_page(book: HandbookContext) -> Page:
    """The page ``page:glossary``, with an anchor a term."""
    blocks: list[Block] = [para("Numbers stand on their own pages, each with its derivation; here are only words.")]
    for group in GROUPS:
        blocks.append(head(group.title))
        for term in group.terms:
            blocks += _term(term)
    return page(
        id="page:glossary",
        path=path_of("page:glossary"),
        title="Glossary",
        section="glossary",
        lead=inlines(
            f"What the words in the handbook of {book.program.site.name.value} mean, and where they come from."
        ),
        blocks=blocks,
    )


def _term(term: GlossaryTerm) -> tuple[Block, ...]:
    also = f" Also: {', '.join(term.also)}." if term.also else ""
    source = f"{term.source} ({CHECKED[term.checked]})" if term.source else CHECKED[term.checked].capitalize()
    see = inlines(" See ", *listed((to(f"term:{name}", NAMES[name]) for name in term.see), mark=", "), ".")
    return (
        Heading(3, inlines(term.name), term.id),
        para(term.text, also, *(see if term.see else ())),
        para(f"Source: {source}."),
    )
