"""Program, figures and findings to every page of the handbook, in reading order."""

from collections.abc import Iterable, Mapping

from builder.base.finding import Finding
from builder.figures.computed import Computed
from builder.figures.ledger import Ledger
from builder.history.archive import Past
from builder.pages.blocks import FILE
from builder.pages.compositions import Page
from builder.pages.handbook.areas import area_pages
from builder.pages.handbook.briefing import briefing_page
from builder.pages.handbook.cards import card_pages
from builder.pages.handbook.checks import check_pages
from builder.pages.handbook.conversions import conversion_pages
from builder.pages.handbook.cylinders import cylinder_pages
from builder.pages.handbook.derivations import Uses, derivation_pages, formulas_page, index_pages, told_together
from builder.pages.handbook.detectors import detector_pages
from builder.pages.handbook.due_pages import due_pages
from builder.pages.handbook.entries import entries_of, search_pages
from builder.pages.handbook.explained import with_terms
from builder.pages.handbook.figure_pages import FigurePages
from builder.pages.handbook.findings import finding_pages
from builder.pages.handbook.forecast import forecast_page
from builder.pages.handbook.gases import gas_pages
from builder.pages.handbook.glossary import glossary_page
from builder.pages.handbook.handbook_context import HandbookContext, ProseBlocks, names_of
from builder.pages.handbook.history import record_pages
from builder.pages.handbook.home import home_page
from builder.pages.handbook.kept_lists import kept_list_pages
from builder.pages.handbook.procedures import procedure_pages
from builder.pages.handbook.prose_pages import cautions_page, program_page, prose_pages
from builder.pages.handbook.registers import register_pages
from builder.pages.handbook.revision_pages import revision_pages
from builder.pages.handbook.sections import SECTIONS
from builder.pages.handbook.setpoints import setpoint_pages
from builder.pages.handbook.units import unit_pages
from builder.pages.handbook.uses import with_uses
from builder.pages.outputs import Outputs

__all__ = ["SECTIONS", "compose_pages"]


def compose_pages(
    computed: Computed,
    findings: tuple[Finding, ...],
    prose: ProseBlocks,
    card_codes: Mapping[str, str],
    told_on: FigurePages,
    *,
    printed_elsewhere: Mapping[str, tuple[str, ...]] | None = None,
    outputs: Outputs | None = None,
    past: Past | None = None,
) -> tuple[Page, ...]:
    """Every page, in reading order.

    :param prose: makes blocks of prose; it is called while pages are composed.
    :param card_codes: card id to the short code printed on it.
    :param told_on: which page tells the derivation of a figure.
    :param printed_elsewhere: figure key to references (``card:ID``, ``file:PATH``) of what else prints it.
    :param outputs: what the site has beside pages and cards.
    :param past: what was released before.
    """
    program, ledger = computed.program, computed.ledger
    book = HandbookContext(
        computed=computed,
        findings=findings,
        prose=prose,
        card_codes=card_codes,
        names=names_of(program),
        told_on=told_on,
        outputs=outputs or Outputs(),
        past=past or Past(),
    )
    before, about = _before(book), (cautions_page(book), *prose_pages(book, "about"), glossary_page(book))
    together = told_together(book)
    index = (*index_pages(book, together), formulas_page(book))
    uses = uses_of(ledger, {**book.names, **book.outputs.titles()}, (*before, *index, *about), printed_elsewhere or {})
    search = search_pages(entries_of(program, book.names, card_codes, (*before, *index, *about)))
    return with_terms(with_uses((*before, *index, *derivation_pages(together, uses), *about, *search), program, ledger))


def _before(book: HandbookContext) -> tuple[Page, ...]:
    return (
        home_page(book),
        *prose_pages(book, "home"),
        *area_pages(book),
        *setpoint_pages(book),
        *gas_pages(book),
        *conversion_pages(book),
        *detector_pages(book),
        *register_pages(book),
        *unit_pages(book),
        *cylinder_pages(book),
        *check_pages(book),
        *due_pages(book),
        *record_pages(book),
        *procedure_pages(book),
        *card_pages(book),
        program_page(book),
        *revision_pages(book),
        briefing_page(book),
        *kept_list_pages(book),
        forecast_page(book),
        *prose_pages(book, "program"),
        *finding_pages(book),
    )


def uses_of(
    ledger: Ledger, names: Mapping[str, str], pages: Iterable[Page], elsewhere: Mapping[str, tuple[str, ...]]
) -> Uses:
    """Where every figure goes: other figures, these pages, and what prints it elsewhere; derivations do not count.

    :param names: title of everything that has a page or an anchor of its own, by reference.
    :param elsewhere: figure key to references of what prints it beside the pages.
    """
    counted = [page for page in pages if not page.id.startswith("figures:")]
    printed: dict[str, dict[str, None]] = {}
    for page in counted:
        for key in page.figures:
            printed.setdefault(key, {})[page.id] = None
    for key, references in elsewhere.items():
        printed.setdefault(ledger.resolve(key) or key, {}).update(dict.fromkeys(references))
    titles = {reference: f"Card: {name}" for reference, name in names.items() if reference.startswith("card:")}
    titles |= {reference: name for reference, name in names.items() if reference.startswith(FILE)}
    titles |= {page.id: page.title for page in counted}
    return Uses(
        made=ledger.users, printed_on={key: tuple(references) for key, references in printed.items()}, titles=titles
    )
