"""The index of a book: areas, gases, detectors, checks, procedures and terms, each with the pages that speak of it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Final

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.pages.compositions import Page
from builder.pages.handbook.glossary import all_terms

KINDS: Final = ("area", "gas", "model", "sensor", "check", "procedure", "cylinder", "term")
"""Kinds of things that are listed."""
OPENING: Final = "opening:"
MOST: Final = 6
"""Places of a thing that are listed; one named on more pages is found by the first of them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexEntry:
    """One line."""

    title: str
    main: str
    """Id of the page of its own, or of an anchor on it; empty where the book has none."""
    others: tuple[str, ...]
    """Ids of other pages that name it, in reading order."""


def index_of(pages: Iterable[Page], names: Mapping[str, str]) -> tuple[IndexEntry, ...]:
    """Every entry, from A to Z."""
    pages = tuple(pages)
    terms = {f"term:{term.id}": term for term in all_terms()}
    titles = {**names, **{reference: term.name for reference, term in terms.items()}}
    main = {_thing(page): page.id for page in pages}
    if any(page.id == "page:glossary" for page in pages):
        main |= {reference: f"page:glossary--{term.id}" for reference, term in terms.items()}
    named: dict[str, dict[str, None]] = {}
    for page in pages:
        for target in page.links:
            if target in titles and target.partition(":")[0] in KINDS and main.get(target) != page.id:
                named.setdefault(target, {})[page.id] = None
    made = [
        IndexEntry(title=titles[thing], main=main.get(thing, ""), others=tuple(named.get(thing, ()))[:MOST])
        for thing in titles
        if thing.partition(":")[0] in KINDS and (thing in named or thing in main)
    ]
    made += [IndexEntry(title=page.title, main=page.id, others=()) for page in pages if _thing(page) not in titles]
    return tuple(sorted(_merged(made), key=lambda entry: entry.title.casefold()))


def _merged(entries: Iterable[IndexEntry]) -> Iterator[IndexEntry]:
    """Things of one name in one entry, the pages of their own first: who looks a name up knows of no kinds."""
    for found in grouped(entries, lambda entry: entry.title.casefold()).values():
        main = next((one.main for one in found if one.main), "")
        places = dict.fromkeys(place for one in found for place in (one.main, *one.others) if place not in {"", main})
        yield replace(found[0], main=main, others=tuple(places)[:MOST])


def _thing(page: Page) -> str:
    """The thing that a page is about, as links call it."""
    return f"area:{page.id.removeprefix(OPENING)}" if page.id.startswith(OPENING) else page.id
