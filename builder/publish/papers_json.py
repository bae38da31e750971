"""What every paper prints, in order, taken from the documents that the engine is given and before it draws them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from builder.figures.figure import Figure
from builder.pages.blocks import Card
from builder.pages.hrefs import sheet_path
from builder.pages.outputs import Outputs
from builder.pages.plain import digits
from builder.program.sheet_setting import SheetSetting

if TYPE_CHECKING:
    from builder.render.said import Said
    from builder.render.site import Book


def paper_runs(
    cards: Sequence[Card], outputs: Outputs, figures: Mapping[str, Figure], paper: str, sheets: SheetSetting
) -> dict[str, dict[str, Any]]:
    """Path of each card, imposed sheet, form and sheet of labels -> every run of digits on it.

    They include what only the paper says: how to print it, sides, feet and numbers of lists.
    """
    from builder.render.card_pages import card_html  # noqa: PLC0415 - templates are loaded at first need
    from builder.render.formats import card_format  # noqa: PLC0415
    from builder.render.formats import paper as paper_of  # noqa: PLC0415
    from builder.render.forms import form_html  # noqa: PLC0415
    from builder.render.imposition import plan, setting_of  # noqa: PLC0415
    from builder.render.labels import labels_html  # noqa: PLC0415
    from builder.render.said import said  # noqa: PLC0415
    from builder.render.sheets import sheets_html  # noqa: PLC0415

    made = {card.path: _told(said(card_html(card, figures))) for card in cards}
    setting = setting_of(sheets)
    for name in dict.fromkeys(card_format(card.format).name for card in cards):
        alike = [card for card in cards if card_format(card.format).name == name for _ in range(setting.copies)]
        sheet = plan(card_format(name), paper_of(paper), setting)
        made[sheet_path(name, paper)] = _told(said(sheets_html(alike, figures, sheet, name, setting)))
    for labels in outputs.labels:
        made[labels.path] = _told(said(labels_html(labels, figures)))
    for form in outputs.log_sheets:
        made[form.path] = {**_told(said(form_html(form, figures))), "numbered": True}
    return made


def book_runs(book: Book) -> dict[str, Any]:
    """The same of a printed book: its runs, and what stands around the text of every page but the cover."""
    from builder.render.book import book_html  # noqa: PLC0415 - as above
    from builder.render.markup import CAUTION, INVENTED  # noqa: PLC0415
    from builder.render.said import said  # noqa: PLC0415

    about = book.about
    html = book_html(book.pages, book.figures, book.hrefs, book.sections, about)
    feet = (about.revision, about.as_of, INVENTED if about.invented else "", CAUTION)
    return {
        **_told(said(html, drawings=False, references=True)),
        "top": digits((about.title, about.name)),
        "foot": digits(feet),
        "numbered": True,
    }


def _told(found: Said) -> dict[str, Any]:
    told: dict[str, Any] = {"runs": " ".join(found.runs), "loose": found.loose}
    if found.heads:
        told["heads"] = sorted(set(found.heads))
    if found.foot:
        told["foot"] = " ".join(found.foot)
    return told
