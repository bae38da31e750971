"""Which pages a worker can read in other languages, and the words around them.

They are the first page as far as it is a worker's, what decides in each area, and every procedure. All that stands
behind them (figures, gases, the program) is read in English.
"""

from collections.abc import Iterable, Iterator, Mapping

from builder.base.finding import Finding
from builder.base.record import dataclass
from builder.figures.computed import Computed
from builder.pages.compositions import Page, SpokenPage
from builder.pages.handbook.areas import worker_page
from builder.pages.handbook.handbook_context import HandbookContext, ProseBlocks, names_of
from builder.pages.handbook.home import worker_home
from builder.pages.handbook.procedures import procedure_pages
from builder.pages.languages.speech import Speech, speech_of
from builder.pages.languages.translated import spoken_id, translated
from builder.program.languages import ENGLISH
from builder.program.program import Program

FRAME: Mapping[str, str] = {
    "skip": "Skip to the text",
    "draft": "Draft",
    "not_released": "Draft, not released",
    "search": "Search",
    "find": "Find",
    "where": "Where this page is",
    "languages": "Languages",
    "invented": "Invented demonstration data: not for use at any place of work.",
    "caution": "This handbook supports a competent person and replaces nobody. "
    "The instrument's own manual, local law and licensed practice prevail.",
    "counted": "Dates are counted from",
    "paper": "A copy on paper does not renew itself: compare its revision with the handbook in force "
    "before relying on it.",
    "unread": "Nobody has yet checked all of this translation. Where it and the English page differ, "
    "the English one holds.",
    "parts": "What is marked as English has no translation yet.",
    "table": "Table",
    "stop": "Stop",
    "warn": "Warning",
    "caution_word": "Caution",
    "note": "Note",
    "assumes": "What this assumes",
}
"""Words of the frame, by the names that its template prints them under."""
AROUND = "page:home"
"""Page that the words of the frame count to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """The pages in one language."""

    language: str
    pages: tuple[SpokenPage, ...]
    words: Mapping[str, str]
    """``FRAME`` in the language."""
    unsaid: frozenset[str]
    """Names of those that have no translation."""
    speech: Speech
    """What was asked for, and what of it is missing."""


def worker_pages(book: HandbookContext) -> Iterator[Page]:
    """In English, what is read in other languages too."""
    yield worker_home(book)
    yield from (worker_page(book, area) for area in book.program.areas.values())
    yield from (page for page in procedure_pages(book) if page.id.startswith("procedure:"))


def compose_editions(
    computed: Computed, findings: tuple[Finding, ...], prose: ProseBlocks, languages: Iterable[str]
) -> tuple[Edition, ...]:
    """The pages of a site in some languages; nothing is composed where there are none."""
    asked = tuple(languages)
    if not asked:
        return ()
    program = computed.program
    book = HandbookContext(computed=computed, findings=findings, prose=prose, card_codes={}, names=names_of(program))
    pages = tuple(worker_pages(book))
    return tuple(_edition(speech_of(program, language), pages) for language in asked)


def _edition(speech: Speech, pages: tuple[Page, ...]) -> Edition:
    made = tuple(translated(page, speech) for page in pages)
    words = {name: speech.said(text, AROUND) for name, text in FRAME.items()}
    return Edition(
        language=speech.language,
        pages=made,
        words={name: said if said is not None else FRAME[name] for name, said in words.items()},
        unsaid=frozenset(name for name, said in words.items() if said is None),
        speech=speech,
    )


def paper_edition(program: Program) -> Edition:
    """No pages, and what the site says in place of the builder's English on cards and sheets."""
    said = {text: one.says.value for text, one in program.translations.get(ENGLISH, {}).items()}
    speech = Speech(language=ENGLISH, texts=said, names=frozenset())
    return Edition(language=ENGLISH, pages=(), words={}, unsaid=frozenset(), speech=speech)


def spoken_hrefs(editions: Iterable[Edition]) -> dict[str, str]:
    """Reference of each page in each language to its path; in English too, for who wants that one from another."""
    made: dict[str, str] = {}
    for edition in editions:
        for page in edition.pages:
            made[page.id] = page.path
            first = page.id.rpartition("@")[0]
            made[spoken_id(first, ENGLISH)] = page.path.removeprefix(f"{edition.language}/")
    return made
