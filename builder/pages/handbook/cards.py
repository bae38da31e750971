"""Pocket cards: what exists, for whom, and where to print it."""

from collections.abc import Iterator

from builder.figures.figure import day_text
from builder.pages.blocks import Absent, Block, Heading, Inlines
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.labels import ROLES, word
from builder.pages.handbook.parts import code, facts, head, inlines, listed, para, table, to
from builder.pages.handbook.sections import card_anchor, sheet_reference
from builder.pages.translation_findings import why_unchecked
from builder.program.cards import CardSpec
from builder.program.keys.families import CARD_VALID_UNTIL
from builder.program.languages import ENGLISH, LANGUAGES

NO_DAY = inlines("no day: a draft")
"""Cards of a draft hold for no time at all."""


def card_pages(book: HandbookContext) -> Iterator[Page]:
    """The one page of cards, with an anchor a card."""
    cards = tuple(book.program.cards.values())
    blocks: list[Block] = [_overview(book, cards)]
    if cards:
        blocks.append(para("All cards of a format set out for cutting: ", *_sheets(book, cards), "."))
        blocks.append(para(fixed("cards.last-day")))
    status = to("page:status", "card status")
    blocks.append(para("What the code on a card from any pocket means today: ", status, "."))
    blocks += _translations(book, cards)
    for card in cards:
        blocks += (
            Heading(2, inlines(card.title), card_anchor(card.id)),
            *book.found(f"card:{card.id}"),
            _facts(book, card),
        )
    yield index_page("cards", fixed("cards.lead"), blocks)


def _overview(book: HandbookContext, cards: tuple[CardSpec, ...]) -> Block:
    rows = (
        (book.link("card", card.id), word(ROLES, card.audience), _area(book, card), _code(book, card)) for card in cards
    )
    return table(("Card", "For", "Area", "Code"), rows, empty="no card is made")


def _translations(book: HandbookContext, cards: tuple[CardSpec, ...]) -> tuple[Block, ...]:
    """Who answers for each language on a card besides English, in the site's order; nothing where there is none."""
    printed = {given.value for card in cards for given in card.spoken}
    languages = [given.value for given in book.program.site.languages if given.value in printed - {ENGLISH}]
    if not languages:
        return ()
    rows = ((LANGUAGES[language].name, *_reader(book, language)) for language in languages)
    return (
        head("Who checked the translations"),
        table(("Language", "Checked by", "On", "Holds"), rows),
        para(fixed("cards.unread-translation")),
    )


def _reader(book: HandbookContext, language: str) -> tuple[Inlines, Inlines, Inlines]:
    """Name, day, and whether that check holds for the builder's texts as they are now."""
    checked = book.program.site.translations_checked.get(language)
    if checked is None:
        return (Absent("not checked by anybody yet"),), (Absent("no day"),), inlines("no")
    why = why_unchecked(language, checked, book.ledger.today)
    return inlines(checked.by.value), inlines(day_text(checked.on.value)), inlines(f"no: {why}" if why else "yes")


def _sheets(book: HandbookContext, cards: tuple[CardSpec, ...]) -> Inlines:
    paper = book.program.site.paper.value
    formats = dict.fromkeys(card.format for card in cards if not card.sign)
    return listed(to(sheet_reference(name, paper), f"{name} on {paper} paper") for name in formats)


def _area(book: HandbookContext, card: CardSpec) -> Inlines:
    return (book.link("area", card.area.value),) if card.area else inlines("the whole site")


def _code(book: HandbookContext, card: CardSpec) -> Inlines:
    found = [book.card_codes[name] for name, _ in _printed(card) if name in book.card_codes]
    return listed(code(one) for one in found) if found else (Absent("no code yet"),)


def _printed(card: CardSpec) -> tuple[tuple[str, str], ...]:
    """Each card that is printed, by name, with the languages on it."""
    if card.bilingual:
        return ((card.name, " and ".join(LANGUAGES[given.value].name for given in card.bilingual)),)
    names = (card.name if n == 0 else f"{card.name}.{given.value}" for n, given in enumerate(card.languages))
    return tuple((name, LANGUAGES[given.value].name) for name, given in zip(names, card.languages, strict=True))


def _to_print(card: CardSpec) -> Inlines:
    printed = _printed(card)
    if len(printed) == 1 and not card.bilingual:
        return (to(f"card-pdf:{card.name}", "this card alone"),)
    return listed(to(f"card-pdf:{name}", f"in {languages}") for name, languages in printed)


def _facts(book: HandbookContext, card: CardSpec) -> Block:
    cylinders = [block.cylinder for block in card.blocks if block.cylinder]
    return facts(
        ("For", word(ROLES, card.audience)),
        ("Area", _area(book, card)),
        ("Model", book.link("model", card.model.value) if card.model else None),
        ("Cylinder", listed(book.links("cylinder", cylinders)) if cylinders else None),
        ("Format", card.format),
        ("Valid until the end of", book.fig(CARD_VALID_UNTIL(card=card.id)) if book.past.releasing else NO_DAY),
        ("Code", _code(book, card)),
        ("Print", _to_print(card)),
    )
