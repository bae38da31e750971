"""Figures: the index of derivations, and the derivation of every figure for the auditor."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field, replace
from typing import Final, TypeAlias

from builder.base.grouping import grouped
from builder.base.record import dataclass
from builder.pages.blocks import Block, Code, Derived, Heading, Inlines, Link, Table, Text
from builder.pages.compositions import Page
from builder.pages.handbook.derivation_words import USERS, formula_record
from builder.pages.handbook.figure_pages import family_of, in_family
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext, index_page
from builder.pages.handbook.parts import Row, code, head, listed, page, para, table, to
from builder.pages.handbook.registers import even_runs


@dataclass(frozen=True, slots=True, kw_only=True)
class Uses:
    """Where figures go: into other figures, and onto pages."""

    made: Mapping[str, tuple[str, ...]]
    """Figure key -> keys of the figures made from it."""
    printed_on: Mapping[str, tuple[str, ...]]
    """Figure key -> references of the pages and cards that print it."""
    titles: Mapping[str, str] = field(default_factory=dict)
    """Title of each such reference."""

    def printed(self, key: str) -> tuple[tuple[str, str], ...]:
        """Reference and title of all that print a figure."""
        return tuple((on, self.titles.get(on, on)) for on in self.printed_on.get(key, ()))


MANY_PAGES: Final = 400
"""With more pages of derivations than this, the index leads to them by the first part of their keys."""
HEADS: Final = ("Keys", "Figures")
FORMULAS: Final = "page:formulas"


_Keys: TypeAlias = tuple[str, ...]


def told_together(book: HandbookContext) -> Mapping[_Keys, str]:
    """The keys of every page of derivations, by families, and its reference."""
    runs = grouped(sorted(book.ledger.figures, key=in_family), book.told_on.name)
    return {tuple(keys): f"figures:{name}" for name, keys in runs.items()}


def index_pages(book: HandbookContext, found: Mapping[_Keys, str]) -> Iterator[Page]:
    """The index: pages of derivations, numbers typed by hand, published sources; on a big site its further pages.

    :param found: as ``told_together`` has them.
    """
    if len(found) <= MANY_PAGES:
        yield _index_page(book, (table(HEADS, _rows(found.items()), numeric=(1,)),))
        return
    families = grouped(found, lambda keys: family_of(keys[0]))
    parts = {family: even_runs(pages) for family, pages in families.items()}
    yield _index_page(book, _by_family(parts))
    for family, runs in parts.items():
        for number, run in enumerate(runs, start=1):
            reference = _part_reference(family, number)
            yield page(
                reference,
                f"Figures: {_span(run)}",
                "figures",
                fixed("derivations.groups"),
                (table(HEADS, _rows((keys, found[keys]) for keys in run), numeric=(1,)),),
            )


def _part_reference(family: str, number: int) -> str:
    return f"keys:{family}-{number}-"


def _span(run: Sequence[_Keys]) -> str:
    first, last = run[0][0], run[-1][-1]
    return first if first == last else f"{first} to {last}"


def _by_family(parts: Mapping[str, Sequence[Sequence[_Keys]]]) -> tuple[Block, ...]:
    rows = (
        (
            code(family),
            listed(to(_part_reference(family, number), _span(run)) for number, run in enumerate(runs, start=1)),
            str(sum(len(keys) for run in runs for keys in run)),
        )
        for family, runs in parts.items()
    )
    columns = ("Keys that begin with", "Pages", "Figures")
    return (table(columns, rows, numeric=(2,)), para(fixed("derivations.search")))


def _rows(found: Iterable[tuple[_Keys, str]]) -> Iterator[Row]:
    for keys, reference in found:
        families = tuple(dict.fromkeys(map(family_of, keys)))
        span = (*listed((Code(name),) for name in families), Text(" …")) if len(families) > 1 else _ends(keys)
        yield Link(reference, span), str(len(keys))


def _ends(keys: _Keys) -> Inlines:
    return (Code(keys[0]), Text(" to "), Code(keys[-1])) if len(keys) > 1 else (Code(keys[0]),)


def _index_page(book: HandbookContext, groups: tuple[Block, ...]) -> Page:
    blocks: tuple[Block, ...] = (
        head("Derivations"),
        *groups,
        para("How each formula works: ", to(FORMULAS, "formulas"), "."),
        head("Numbers typed by hand on purpose", "literals"),
        _literals(book),
        head("Published sources", "sources"),
        _sources(book),
    )
    return index_page("figures", fixed("derivations.lead"), blocks)


def _literals(book: HandbookContext) -> Table:
    rows = (
        (code(typed.text), typed.reason or "no reason is given", code(typed.where)) for typed in book.program.literals
    )
    return table(("Text", "Reason", "Line"), rows, empty="none: every number comes from a figure")


def _sources(book: HandbookContext) -> Table:
    rows = ((s.cited(), s.how_read, s.checked, s.caution) for s in book.program.library.sources())
    return table(("Source", "How its values came here", "Read in", "Bear in mind"), rows)


# ---- derivations ---------------------------------------------------------------------------


def _title(keys: _Keys) -> str:
    families = tuple(dict.fromkeys(map(family_of, keys)))
    return _span((keys,)) if len(families) == 1 else ", ".join(families)


def derivation_pages(found: Mapping[_Keys, str], uses: Uses) -> Iterator[Page]:
    """A page a family of keys, or several; none of them is printed in a book unless it is asked for."""
    for keys, reference in found.items():
        yield page(
            reference,
            f"Figures: {_title(keys)}",
            "figures",
            fixed("derivations.one"),
            [_derived(key, uses) for key in keys],
        )


def _derived(key: str, uses: Uses) -> Derived:
    into, places = uses.made.get(key, ()), uses.printed_on.get(key, ())
    titled = tuple((on, uses.titles.get(on, on)) for on in places[:USERS])
    return Derived(key, into[:USERS], len(into), titled, len(places))


def formulas_page(book: HandbookContext) -> Page:
    """Every formula that a figure of the site was made by, told once."""
    used = sorted({figure.formula for figure in book.ledger})
    records = [record for name in used if (record := formula_record(name))]
    blocks: list[Block] = []
    for record in records:
        blocks.append(Heading(2, (Text(record.title),), record.id))
        blocks.append(para(f"{record.expression}. Holds for {record.valid}. Rounding: {record.rounding}."))
        blocks.append(para(f"Source: {record.source}. ", Code(record.id)))
    made = page(FORMULAS, "Formulas", "figures", fixed("derivations.formulas"), blocks)
    return replace(made, holds=tuple((f"formula:{record.id}", record.id) for record in records))
