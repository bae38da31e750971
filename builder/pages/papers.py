"""All that is carried, hung up or filled in by hand, composed once as plain data with the texts that it prints."""

from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.pages.cards.compose import compose_cards
from builder.pages.compositions import Card
from builder.pages.forms import LogSheet, log_sheets
from builder.pages.labels import LabelPages, label_pages
from builder.pages.paper_texts import Composition, PaperTexts
from builder.pages.prose import ProseContext


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """Cards, log sheets and labels of a draft or of a release."""

    draft: bool
    cards: Composition[Card]
    log_sheets: Composition[LogSheet]
    labels: Composition[LabelPages]

    @property
    def texts(self) -> tuple[PaperTexts, ...]:
        """The texts of every paper in every language it is in."""
        return (*self.cards.texts, *self.labels.texts, *self.log_sheets.texts)


def compose_papers(computed: Computed, prose: ProseContext, *, draft: bool) -> Papers:
    """All of them.

    :param prose: what the prose on cards is resolved against.
    """
    return Papers(
        draft=draft,
        cards=compose_cards(computed.program, computed.ledger, prose, draft=draft),
        log_sheets=log_sheets(computed, draft=draft),
        labels=label_pages(computed, draft=draft),
    )
