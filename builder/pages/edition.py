"""The edition being made, in the form in which released ones are read back, so that both are compared alike."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from builder.figures.figure import Figure
from builder.figures.formulas.registry import formula_of
from builder.figures.ledger import Ledger
from builder.history.edition import Edition, RecordedFigure, RecordedInput, card_told, procedure_told
from builder.pages.compositions import Card, Page, figures_in
from builder.pages.outputs import Outputs
from builder.pages.texts import CarriedTexts
from builder.program.keys.families import CARD_VALID_UNTIL


def edition_of(
    ledger: Ledger,
    pages: Iterable[Page],
    cards: Iterable[Card],
    outputs: Outputs,
    texts: CarriedTexts,
    facts: Mapping[str, Any],
    *,
    numbers: bool = True,
) -> Edition:
    """The edition being made.

    :param facts: what the ledger holds for; ``revision`` names the edition, ``as_of`` is its day.
    :param numbers: False leaves out all figures but those of cards, where no figures are to be compared: on a big
        site they take most of the time.
    """
    printed_on: dict[str, list[str]] = {}
    if numbers:
        prints: dict[str, Iterable[str]] = {page.path: page.figures for page in pages}
        prints |= {card.path: figures_in(card) for card in cards}
        for path, keys in sorted({**prints, **outputs.prints()}.items()):
            for key in dict.fromkeys(keys):
                printed_on.setdefault(key, []).append(path)
    figures = ledger.figures.values() if numbers else ledger.under(CARD_VALID_UNTIL.start())
    return Edition(
        name=str(facts["revision"]),
        as_of=str(facts["as_of"]),
        figures={figure.key: recorded_figure(figure, printed_on.get(figure.key, ())) for figure in figures},
        cards={card["id"]: card_told(card) for card in texts.cards},
        procedures={name: procedure_told(entry) for name, entry in texts.procedures.items()},
        actions=texts.actions,
        documents={path: tuple(lines) for path, lines in texts.documents.items()},
        about_units={path: tuple(lines) for path, lines in texts.about.items()},
    )


def recorded_figure(figure: Figure, printed_on: Iterable[str]) -> RecordedFigure:
    """A figure as the ledger's file tells it to later editions."""
    parts = (
        RecordedInput(
            label=part.label,
            text=part.text,
            figure=part.figure,
            where=str(part.where) if part.where else "",
            source=part.source,
            decides=part.decides,
        )
        for part in figure.inputs
    )
    return RecordedFigure(
        key=figure.key,
        label=figure.label,
        printed=figure.printed,
        exact=figure.exact.isoformat() if isinstance(figure.exact, date) else str(figure.exact),
        rounding=figure.rounding.words if figure.rounding else "",
        formula=figure.formula,
        expression=formula_of(figure.formula).expression,
        source=figure.source,
        parts=tuple(parts),
        printed_on=tuple(printed_on),
    )
