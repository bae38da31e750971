"""Figures: the index of derivations, and the derivation of every figure for the auditor."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache, lru_cache
from typing import Final, TypeAlias

from builder.base.quantity import printed_unit
from builder.base.rounding import plain
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.figures.formulas.registry import Formula, formula_of
from builder.pages.blocks import (
    Block,
    Code,
    Fig,
    Heading,
    Inline,
    Inlines,
    ItemList,
    Link,
    Page,
    Paragraph,
    Strong,
    Table,
    Text,
)
from builder.pages.handbook.figure_pages import family_of, figure_pages, in_family
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import code, head, inlines, listed, page, para, table, to
from builder.pages.handbook.registers import even_runs
from builder.pages.handbook.sections import path_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Uses:
    """Where figures go: into other figures, and onto pages."""

    made: Mapping[str, tuple[str, ...]]
    """Figure key -> keys of the figures made from it."""
    printed_on: Mapping[str, tuple[str, ...]]
    """Figure key -> references of the pages and cards that print it."""
    titles: Mapping[str, str] = field(default_factory=dict)
    """Title of each such reference."""


MANY_PAGES: Final = 400
"""With more pages of derivations than this, the index leads to them by the first part of their keys."""
HEADS: Final = ("Keys", "Figures")
ALIKE: Final = 1 << 14


def index_pages(book: HandbookContext) -> Iterator[Page]:
    """The index: pages of derivations, numbers typed by hand, published sources; on a big site its further pages."""
    found = _pages(book)
    if len(found) <= MANY_PAGES:
        yield _index_page(book, (table(HEADS, _rows(found.items()), numeric=(1,)),))
        return
    families: dict[str, list[_Keys]] = {}
    for keys in found:
        families.setdefault(family_of(keys[0]), []).append(keys)
    parts = {family: even_runs(pages) for family, pages in families.items()}
    yield _index_page(book, _by_family(parts))
    for family, runs in parts.items():
        for number, run in enumerate(runs, start=1):
            reference = _part_reference(family, number)
            yield page(
                id=reference,
                path=path_of(reference),
                title=f"Figures: {_span(run)}",
                section="figures",
                lead=fixed("derivations.groups"),
                blocks=(table(HEADS, _rows((keys, found[keys]) for keys in run), numeric=(1,)),),
            )


_Keys: TypeAlias = tuple[str, ...]


def _pages(book: HandbookContext) -> Mapping[_Keys, str]:
    """The keys of every page of derivations, by families, and its reference."""
    name = figure_pages(book.ledger.figures).name
    runs: dict[str, list[str]] = {}
    for key in sorted(book.ledger.figures, key=in_family):
        runs.setdefault(name(key), []).append(key)
    return {tuple(keys): f"figures:{name}" for name, keys in runs.items()}


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
            inlines(str(sum(len(keys) for run in runs for keys in run))),
        )
        for family, runs in parts.items()
    )
    columns = ("Keys that begin with", "Pages", "Figures")
    return (
        table(columns, rows, numeric=(2,)),
        para(fixed("derivations.search")),
    )


def _rows(found: Iterable[tuple[_Keys, str]]) -> Iterator[tuple[Inlines, ...]]:
    for keys, reference in found:
        families = tuple(dict.fromkeys(map(family_of, keys)))
        span = (*listed((Code(name),) for name in families), Text(" …")) if len(families) > 1 else _ends(keys)
        yield (Link(reference, span),), inlines(str(len(keys)))


def _ends(keys: _Keys) -> Inlines:
    return (Code(keys[0]), Text(" to "), Code(keys[-1])) if len(keys) > 1 else (Code(keys[0]),)


def _index_page(book: HandbookContext, groups: tuple[Block, ...]) -> Page:
    return page(
        id="page:figures",
        path=path_of("page:figures"),
        title="Figures and sources",
        section="figures",
        lead=fixed("derivations.lead"),
        blocks=(
            head("Derivations"),
            *groups,
            head("Numbers typed by hand on purpose", "literals"),
            _literals(book),
            head("Published sources", "sources"),
            _sources(book),
        ),
    )


def _literals(book: HandbookContext) -> Table:
    rows = (
        (code(typed.text), inlines(typed.reason or "no reason is given"), code(typed.where))
        for typed in book.program.literals
    )
    return table(("Text", "Reason", "Line"), rows, empty="none: every number comes from a figure")


def _sources(book: HandbookContext) -> Table:
    rows = (
        (inlines(s.cited()), inlines(s.how_read), inlines(s.checked), inlines(s.caution))
        for s in book.program.library.sources()
    )
    return table(("Source", "How its values came here", "Read in", "Bear in mind"), rows)


# ---- derivations ---------------------------------------------------------------------------


def _title(keys: _Keys) -> str:
    families = tuple(dict.fromkeys(map(family_of, keys)))
    return _span((keys,)) if len(families) == 1 else ", ".join(families)


def derivation_pages(book: HandbookContext, uses: Uses) -> Iterator[Page]:
    """A page a family of keys, or several; none of them is printed in a book unless it is asked for."""
    for keys, reference in _pages(book).items():
        yield page(
            id=reference,
            path=path_of(reference),
            title=f"Figures: {_title(keys)}",
            section="figures",
            lead=fixed("derivations.one"),
            blocks=[block for key in keys for block in _derivation(book, book.ledger[key], uses)],
        )


def _derivation(book: HandbookContext, figure: Figure, uses: Uses) -> Iterator[Block]:
    """A heading and few lines: a table for each of some thousand figures would be most of a site's bytes."""
    yield Heading(2, (Code(figure.key),), figure.key)
    rounding = figure.rounding.describe() if figure.rounding else "printed as it is"
    exact = ("; exactly ", exact_text(figure)) if exact_text(figure) != figure.printed else ()
    yield para(f"{figure.label}: ", Fig(figure.key), *exact, f"; {rounding}.")
    source: tuple[Inline, ...] = (Text(" "), _word("Source"), Text(f" {figure.source}."))
    assumed: tuple[Inline, ...] = (Text(" "), _word("Assumes"), Text(f" {figure.note}.")) if figure.note else ()
    unread: tuple[Inline, ...] = () if figure.read else (Text(" "), *fixed("derivations.unread"))
    yield Paragraph((*_formula(figure.formula), *source, *assumed, *unread))
    if figure.inputs:
        yield ItemList(tuple((Paragraph(_input(book, part)),) for part in figure.inputs))
    made = (_user(key) for key in uses.made.get(figure.key, ()))
    printed = (_place(on, uses.titles.get(on, on)) for on in uses.printed_on.get(figure.key, ()))
    used, shown = listed(made, none="no other figure"), listed(printed, none="no page")
    yield Paragraph((_word("Used by"), Text(" "), *used, Text(". "), _word("Printed on"), Text(" "), *shown, Text(".")))


def _word(text: str) -> Inline:
    return Strong((Text(text),))


def _key(key: str) -> Link:
    return Link(f"figure:{key}", (Code(key),))


# What many figures tell alike is made once and held once: a big site has a million of them.


@lru_cache(maxsize=ALIKE)
def _user(key: str) -> Inlines:
    return (_key(key),)


@lru_cache(maxsize=ALIKE)
def _place(reference: str, title: str) -> Inlines:
    return (to(reference, title),)


@cache
def _formula(name: str) -> Inlines:
    record = formula_record(name)
    formula = inlines(f"{record.title}: {record.expression}; valid for {record.valid} ") if record else ()
    return (_word("Formula"), Text(" "), *formula, *code(name), Text("."))


def _input(book: HandbookContext, part: Input) -> Inlines:
    """One thing that it was made from: what it is, its value, where it stands."""
    found: list[Inlines] = []
    if part.figure:
        found.append(code(part.figure) if part.figure in book.ledger.figures else (_key(part.figure),))
    if part.where:
        found.append(code(part.where))
    if part.source:
        found.append(inlines(part.source))
    if not part.read:
        found.append(inlines("not read in its source"))
    value: Inlines = (Fig(part.figure),) if part.figure in book.ledger.figures else inlines(part.seen)
    place = (Text(" ("), *listed(found), Text(")")) if found else ()
    return (Text(f"{part.label}: "), *value, *place)


# ---- the one place that knows how exact values and formulas are told ---------------------------


def exact_text(figure: Figure) -> str:
    """The exact value in its unit, before rounding; a date as ISO 8601 has it."""
    if isinstance(figure.exact, date):
        return figure.exact.isoformat()
    whole = figure.exact.denominator == 1
    text = plain(figure.exact)
    fraction = "" if whole or _finite(figure.exact.denominator) else f" (exactly {figure.exact})"
    unit = printed_unit(figure.unit)
    return (f"{text}{NO_BREAK_SPACE}{unit}" if unit else text) + fraction


def _finite(denominator: int) -> bool:
    for prime in (2, 5):
        while denominator % prime == 0:
            denominator //= prime
    return denominator == 1


@cache
def formula_record(name: str) -> Formula | None:
    """The record of a formula, or ``None`` for an id that the register does not have."""
    try:
        return formula_of(name)
    except LookupError:
        return None
