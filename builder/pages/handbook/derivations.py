"""Figures: the index of derivations, and the derivation of every figure for the auditor."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from typing import Final, TypeAlias

from builder.base.quantity import printed_unit
from builder.base.rounding import plain
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.pages.blocks import (
    Block,
    Code,
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
from builder.pages.handbook.figure_told import USERS, after, formula_record, is_stated, remarks, without_what_both_say
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
FORMULAS: Final = "page:formulas"


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
            para("How each formula works: ", to(FORMULAS, "formulas"), "."),
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
    exact = f"; exactly {exact_text(figure)}" if figure.rounding and exact_text(figure) != figure.printed else ""
    rounding = f"; {figure.rounding.rule()}" if figure.rounding else ""
    more = "".join(f" {word}: {text}." for word, text in remarks(figure))
    unread: tuple[Inline, ...] = () if figure.read else (Text(" "), *fixed("derivations.unread"))
    stated = is_stated(figure)
    formula = () if stated else (Text(" "), *_formula(figure.formula), Text("."))
    made = (Text(f"{exact}{rounding}."), *formula, Text(more), *unread)
    said = (Text(f"{figure.label}: "), Strong((Text(figure.printed),)), *made)
    if len(figure.inputs) == 1:
        said = (*said, Text(" Stated as " if stated else " From "), *_input(book, figure, figure.inputs[0]), Text("."))
    yield Paragraph(said)
    if len(figure.inputs) > 1:
        yield ItemList(tuple((Paragraph(_input(book, figure, part)),) for part in figure.inputs))
    users = tuple(Link(f"figure:{key}", (Text(after(figure.key, key)),)) for key in uses.made.get(figure.key, ()))
    places = tuple(to(on, uses.titles.get(on, on)) for on in uses.printed_on.get(figure.key, ()))
    used, printed = _some("Used by", users), _some("Printed on", places)
    if used or printed:
        yield Paragraph((*used, *((Text(" "),) if used and printed else ()), *printed))


def _some(word: str, found: tuple[Inline, ...]) -> tuple[Inline, ...]:
    """What uses a figure, the first by name; nothing where nothing does."""
    more = f"; and {len(found) - USERS} more." if len(found) > USERS else "."
    return (Text(f"{word}: "), *listed(found[:USERS]), Text(more)) if found else ()


@cache
def _formula(name: str) -> Inlines:
    record = formula_record(name)
    return (Text("Formula: "), Link(f"formula:{name}", (Text(record.title),)) if record else Code(name))


def _input(book: HandbookContext, figure: Figure, part: Input) -> Inlines:
    """One thing that it was made from: what it is, its value, where it stands."""
    known = part.figure in book.ledger.figures
    found: list[Inlines] = [(Link(f"figure:{part.figure}", (Code(part.figure),)),)] if part.figure and not known else []
    if part.where:
        found.append(code(part.where))
    if part.source:
        found.append(inlines(part.source))
    if not part.read:
        found.append(inlines("not read in its source"))
    value: Inlines = (to(f"figure:{part.figure}", book.ledger[part.figure].printed),) if known else inlines(part.seen)
    place = (Text(" ("), *listed(found), Text(")")) if found else ()
    label = "" if part.label == figure.label else f"{without_what_both_say(figure.label, part.label)}: "
    return (Text(label), *value, *place)


def formulas_page(book: HandbookContext) -> Page:
    """Every formula that a figure of the site was made by, told once."""
    used = sorted({figure.formula for figure in book.ledger})
    records = [record for name in used if (record := formula_record(name))]
    told = [
        (
            Heading(2, (Text(record.title),), record.id),
            para(f"{record.expression}. Holds for {record.valid}. Rounding: {record.rounding}."),
            para(f"Source: {record.source}. ", Code(record.id)),
        )
        for record in records
    ]
    made = page(
        id=FORMULAS,
        path=path_of(FORMULAS),
        title="Formulas",
        section="figures",
        lead=fixed("derivations.formulas"),
        blocks=[block for about in told for block in about],
    )
    return replace(made, holds=tuple((f"formula:{record.id}", record.id) for record in records))


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
