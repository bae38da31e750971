"""What a reader can look up: every thing that has a place in the handbook, with the words it is known by."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from builder.base.record import dataclass
from builder.pages.channel_names import SUBSCRIPTS
from builder.pages.compositions import Page
from builder.pages.handbook.glossary import all_terms
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
        *_things(names, codes),
        *_gases(program),
        *_units(program),
        *_cylinders(program),
        *_pages(pages),
        *_terms(),
    )
    order = [kind for kind, _ in KINDS]
    return tuple(sorted(found, key=lambda entry: order.index(entry.kind)))


def _things(names: Mapping[str, str], codes: Mapping[str, str]) -> Iterator[LookupEntry]:
    """Things that are known by their name and id alone."""
    for reference, title in names.items():
        kind, _, name = reference.partition(":")
        if kind in ("area", "procedure", "model", "sensor", "check", "card"):
            code = codes.get(name, "") if kind == "card" else ""
            yield LookupEntry(reference=reference, title=title, words=_words(title, name, code))


def _gases(program: Program) -> Iterator[LookupEntry]:
    for gas in program.gases.values():
        entry = gas.entry
        plain = (gas.id, entry.name, entry.formula.translate(SUBSCRIPTS), entry.cas, *entry.synonyms)
        yield LookupEntry(reference=f"gas:{gas.id}", title=gas.name, words=_words(gas.name, *plain))


def _units(program: Program) -> Iterator[LookupEntry]:
    for unit in program.units.values():
        yield LookupEntry(reference=f"unit:{unit.id}", title=unit.id, words=_words(unit.id, unit.serial.value))


def _cylinders(program: Program) -> Iterator[LookupEntry]:
    for cylinder in program.cylinders.values():
        words = _words(cylinder.id, cylinder.lot.value, cylinder.certificate.value)
        yield LookupEntry(reference=f"cylinder:{cylinder.id}", title=cylinder.id, words=words)


def _pages(pages: Iterable[Page]) -> Iterator[LookupEntry]:
    """Pages that are about no single thing of the program; the index does not name itself."""
    told = {kind for kind, _ in KINDS if kind != "page"} | {"figures", "keys", "index"}
    for page in pages:
        if page.id.partition(":")[0] not in told and page.id != "page:search":
            yield LookupEntry(reference=page.id, title=page.title)


def _terms() -> Iterator[LookupEntry]:
    for term in all_terms():
        yield LookupEntry(reference=f"term:{term.id}", title=term.name, words=_words(term.name, *term.also))


def _words(title: str, *words: str) -> tuple[str, ...]:
    """The words that the title does not hold already, each once."""
    held = title.casefold()
    return tuple(dict.fromkeys(word for word in words if word and word.casefold() not in held))
