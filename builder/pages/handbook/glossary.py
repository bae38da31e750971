"""Terms of the trade in plain words, each with where it comes from and how well that was checked."""

from builder.pages.blocks import Block, Heading, Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import head, inlines, listed, page, para, to
from builder.pages.handbook.sections import path_of
from builder.pages.handbook.terms import CHECKED, GlossaryTerm, all_terms, term_groups


def glossary_page(book: HandbookContext) -> Page:
    """The page ``page:glossary``, with an anchor a term."""
    blocks: list[Block] = [para(fixed("glossary.only-words"))]
    for group in term_groups():
        blocks.append(head(group.group))
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
    names = {other.id: other.name for other in all_terms()}
    also = f" Also: {', '.join(term.also)}." if term.also else ""
    source = f"{term.source} ({CHECKED[term.checked]})" if term.source else CHECKED[term.checked].capitalize()
    see = inlines(" See ", *listed((to(f"term:{name}", names[name]) for name in term.see), mark=", "), ".")
    return (
        Heading(3, inlines(term.name), term.id),
        para(term.text, also, *(see if term.see else ())),
        para(f"Source: {source}."),
    )
