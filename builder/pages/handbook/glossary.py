"""Terms of the trade in plain words, each with where it comes from and how well that was checked."""

from functools import cache
from typing import Final

from builder.base.record import dataclass
from builder.load.shipped_yaml import shipped_yaml
from builder.pages.blocks import Block, Heading
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.parts import head, inlines, listed, para, to

CHECKED: Final = {
    "read": "read in its own words",
    "seen": "seen through accounts of it; read the original before relying on its words",
    "memory": "named from memory; to be confirmed there",
    "practice": "common practice, no source",
}
"""How well a source was checked -> the words for it."""
SHORTEST: Final = 2
"""Letters up to which another spelling is no phrase to look for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GlossaryTerm:
    """One term."""

    id: str
    name: str
    text: str
    source: str = ""
    """Rule, standard or guidance that uses the term; empty for common practice."""
    checked: str = "practice"
    """A key of ``CHECKED``."""
    also: tuple[str, ...] = ()
    see: tuple[str, ...] = ()
    linked: tuple[str, ...] = ()

    @property
    def phrases(self) -> tuple[str, ...]:
        """Phrases that lead here from other pages; short letters mean too many things."""
        return self.linked or tuple(name for name in (self.name, *self.also) if len(name) > SHORTEST)


@dataclass(frozen=True, slots=True, kw_only=True)
class TermGroup:
    """Terms that are read together."""

    group: str
    terms: tuple[GlossaryTerm, ...]


@cache
def term_groups() -> tuple[TermGroup, ...]:
    """Every term in the order of the page.

    :raises ContentError: for a file that is no YAML.
    :raises TypeError: for one of another shape, or a key that no term has.
    """
    return shipped_yaml("prose/glossary.yaml", tuple[TermGroup, ...])


@cache
def all_terms() -> tuple[GlossaryTerm, ...]:
    """Every term without its group."""
    return tuple(term for group in term_groups() for term in group.terms)


def glossary_page(book: HandbookContext) -> Page:
    """The page ``page:glossary``, with an anchor a term."""
    blocks: list[Block] = [para(fixed("glossary.only-words"))]
    for group in term_groups():
        blocks.append(head(group.group))
        for term in group.terms:
            blocks += _term(term)
    lead = inlines(f"What the words in the handbook of {book.program.site.name.value} mean, and where they come from.")
    return index_page("glossary", lead, blocks)


def _term(term: GlossaryTerm) -> tuple[Block, ...]:
    names = {other.id: other.name for other in all_terms()}
    also = f" Also: {', '.join(term.also)}." if term.also else ""
    source = f"{term.source} ({CHECKED[term.checked]})" if term.source else CHECKED[term.checked].capitalize()
    see = inlines(" See ", *listed((to(f"term:{name}", names[name]) for name in term.see), mark=", "), ".")
    return (
        Heading(3, inlines(term.name), term.id),
        para(term.text, also, *(see if term.see else ())),
        para(f"Source: {source}."),
    )
