"""What a reader can look up: every thing that has a place in the handbook, with the words it is known by.

The search field finds it, and the index from A to Z lists it, for readers without script and on paper.
"""

import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import filterfalse
from typing import Final

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.pages.blocks import Block, Code, Inlines, Link
from builder.pages.compositions import Page
from builder.pages.handbook.glossary import all_terms
from builder.pages.handbook.handbook_context import index_page
from builder.pages.handbook.labels import SUBSCRIPTS
from builder.pages.handbook.parts import Row, head, inlines, listed, page, para, table, to
from builder.pages.handbook.registers import even_runs
from builder.program.program import Program

KINDS: Final[tuple[tuple[str, str], ...]] = (
    ("area", "Work area"),
    ("gas", "Gas"),
    ("unit", "Unit"),
    ("cylinder", "Cylinder"),
    ("procedure", "Procedure"),
    ("model", "Model"),
    ("sensor", "Kind of sensor"),
    ("check", "Check"),
    ("card", "Pocket card"),
    ("page", "Page"),
    ("term", "Term"),
)
"""(kind of reference, its word), in the order in which equally good answers are listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LookupEntry:
    """One thing to look up."""

    reference: str
    """As in ``gas:methane``; its kind is one of ``KINDS``."""
    title: str
    words: tuple[str, ...] = ()
    """Other words it is known by: id, formula, CAS number, serial."""

    @property
    def kind(self) -> str:
        """The kind of its reference; a kind that only pages have counts as a page."""
        kind = self.reference.partition(":")[0]
        return kind if kind in dict(KINDS) else "page"


def entries_of(
    program: Program, names: Mapping[str, str], codes: Mapping[str, str], pages: Iterable[Page]
) -> tuple[LookupEntry, ...]:
    """Everything to look up, by kind and then in the order of content; figures are looked up by their keys.

    :param names: title of everything that has a page or an anchor of its own, by reference.
    :param codes: card id to the code printed on it.
    """
    found = (
        *(LookupEntry(reference=name, title=title, words=_words(title, *words))
          for name, title, *words in _named(program, names, codes)),
        *(LookupEntry(reference=page.id, title=page.title) for page in pages if _is_by_itself(page)),
    )  # fmt: skip
    order = [kind for kind, _ in KINDS]
    return tuple(sorted(found, key=lambda entry: order.index(entry.kind)))


def _named(program: Program, names: Mapping[str, str], codes: Mapping[str, str]) -> Iterator[tuple[str, ...]]:
    """Reference and title of each thing, and the words it is known by."""
    for reference, title in names.items():
        kind, _, name = reference.partition(":")
        if kind in ("area", "procedure", "model", "sensor", "check", "card"):
            yield reference, title, name, codes.get(name, "") if kind == "card" else ""
    for gas in program.gases.values():
        entry = gas.entry
        plain = entry.formula.translate(SUBSCRIPTS)
        yield f"gas:{gas.id}", gas.name, gas.id, entry.name, plain, entry.cas, *entry.synonyms
    for unit in program.units.values():
        yield f"unit:{unit.id}", unit.id, unit.serial.value
    for cylinder in program.cylinders.values():
        yield f"cylinder:{cylinder.id}", cylinder.id, cylinder.lot.value, cylinder.certificate.value
    for term in all_terms():
        yield f"term:{term.id}", term.name, *term.also


def _is_by_itself(page: Page) -> bool:
    """Whether a page is about no single thing of the program; the index does not name itself."""
    told = {kind for kind, _ in KINDS if kind != "page"} | {"figures", "keys", "index"}
    return page.id.partition(":")[0] not in told and page.id != "page:search"


def _words(title: str, *words: str) -> tuple[str, ...]:
    """The words that the title does not hold already, each once."""
    held = title.casefold()
    return tuple(dict.fromkeys(word for word in words if word and word.casefold() not in held))


# ---- the index from A to Z -----------------------------------------------------------------


HEADS: Final = ("Name", "What it is", "Also known as")
OTHER = "0 to 9 and signs"


MANY_OF_A_KIND: Final = 200
"""A longer kind of thing, as units are, goes on pages of its own; the index names the first and last of each."""


def search_pages(entries: Iterable[LookupEntry]) -> Iterator[Page]:
    """The page ``page:search``, to which the search field leads, and the pages of kinds with very many things."""
    every = sorted(entries, key=lambda entry: (folded_text(entry.title), entry.reference))
    kinds = grouped(every, lambda entry: entry.kind)
    runs = {kind: even_runs(found) for kind, found in kinds.items() if len(found) > MANY_OF_A_KIND}
    yield _index([entry for entry in every if entry.kind not in runs], runs)
    for kind, parts in runs.items():
        for number, found in enumerate(parts, start=1):
            yield _kind_page(kind, number, found)


def _reference(kind: str, number: int) -> str:
    return f"index:{kind}-{number}-"


def _span(found: Sequence[LookupEntry]) -> str:
    return f"{found[0].title} to {found[-1].title}"


def _kind_page(kind: str, number: int, found: Sequence[LookupEntry]) -> Page:
    words = dict(KINDS)
    reference = _reference(kind, number)
    return page(
        reference,
        f"Index: {words[kind]} {_span(found)}",
        "search",
        inlines("Everything of one kind, in the order of its names."),
        (table(HEADS, (_row(entry, words) for entry in found), kind="lookup"),),
    )


def _index(entries: Iterable[LookupEntry], runs: Mapping[str, Sequence[Sequence[LookupEntry]]]) -> Page:
    letters = grouped(entries, lambda entry: _letter(entry.title))
    words = dict(KINDS)
    blocks: list[Block] = []
    for kind, parts in runs.items():
        blocks.append(head(words[kind], f"kind-{kind}"))
        spans = (to(_reference(kind, number), _span(found)) for number, found in enumerate(parts, start=1))
        blocks.append(para(*listed(spans), "."))
    for letter in sorted(letters):
        blocks.append(head(letter))
        blocks.append(table(HEADS, (_row(entry, words) for entry in letters[letter]), kind="lookup"))
    blocks += [head("Figures"), para("Every figure by its key: ", to("page:figures", "figures and sources"), ".")]
    return index_page("search", inlines("Everything this handbook has a place for, by name, from A to Z."), blocks)


def _row(entry: LookupEntry, words: dict[str, str]) -> Row:
    title: Inlines = (Code(entry.title),) if entry.kind in ("unit", "cylinder") else inlines(entry.title)
    return Link(entry.reference, title), words[entry.kind], "; ".join(entry.words)


def _letter(title: str) -> str:
    first = folded_text(title)[:1].upper()
    return first if "A" <= first <= "Z" else OTHER


def folded_text(text: str) -> str:
    """Text as it is compared: no accents, no capitals, raised and lowered digits as plain ones."""
    if text.isascii():
        return text.casefold()
    parts = unicodedata.normalize("NFKD", text)
    return "".join(filterfalse(unicodedata.combining, parts)).casefold()
