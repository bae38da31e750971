"""Figures: the index of derivations, and the derivation of every figure for the auditor."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache, lru_cache
from typing import Final, TypeAlias

from builder.base.quantity import printed_unit
from builder.base.rounding import plain
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.figures.formulas.registry import Formula, formula_of
from builder.pages.blocks import Block, Code, Fig, Heading, Inlines, ItemList, Link, Page, Paragraph, Table
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.handbook_context import HandbookContext
from builder.pages.handbook.parts import PLAIN_HEAD, code, head, inlines, listed, page, para, subhead, table, to
from builder.pages.handbook.registers import even_runs
from builder.pages.handbook.sections import group_of, path_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Uses:
    """Where figures go: into other figures, and onto pages."""

    made: Mapping[str, tuple[str, ...]]
    """Figure key -> keys of the figures made from it."""
    printed_on: Mapping[str, tuple[str, ...]]
    """Figure key -> references of the pages and cards that print it."""
    titles: Mapping[str, str] = field(default_factory=dict)
    """Title of each such reference."""


MANY_GROUPS: Final = 400
"""With more groups of figures than this, the index leads to them by the first part of their keys."""
HEADS: Final = ("Keys that begin with", "Figures")
USED_BY, PRINTED_ON = subhead("Used by"), subhead("Printed on")
NOWHERE: Final = para("No page prints it.")
MADE_FROM: Final = ("Made from", "Value", "Found in")
ALIKE: Final = 1 << 14
Row: TypeAlias = tuple[Inlines, Inlines]


def index_pages(book: HandbookContext) -> Iterator[Page]:
    """The index: groups of derivations, numbers typed by hand, published sources; on a big site its further pages."""
    counts = Counter(group_of(key) for key in book.ledger.figures)
    parts = _index_parts(counts)
    yield _index_page(book, _by_start(counts, parts) if parts else (table(HEADS, _groups(counts), numeric=(1,)),))
    for start, runs in parts.items():
        for number, names in enumerate(runs, start=1):
            reference = _part_reference(start, number)
            yield page(
                id=reference,
                path=path_of(reference),
                title=f"Figures: {_span(names)}",
                section="figures",
                lead=fixed("derivations.groups"),
                blocks=(table(HEADS, _groups({name: counts[name] for name in names}), numeric=(1,)),),
            )


def _index_parts(counts: Mapping[str, int]) -> dict[str, tuple[tuple[str, ...], ...]]:
    """The groups by the first part of their keys, in runs of a page each; nothing where all fit on one."""
    if len(counts) <= MANY_GROUPS:
        return {}
    starts: dict[str, list[str]] = {}
    for name in sorted(counts, key=_counting):
        starts.setdefault(name.partition(".")[0], []).append(name)
    return {start: even_runs(names) for start, names in starts.items()}


def _counting(name: str) -> tuple[str | int, ...]:
    """Sorts rows 41 before rows 401."""
    start, mark, row = name.rpartition(".rows-")
    return (start, int(row)) if mark else (name, 0)


def _part_reference(start: str, number: int) -> str:
    return f"keys:{start}-{number}-"


def _span(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"


def _by_start(counts: Mapping[str, int], parts: Mapping[str, tuple[tuple[str, ...], ...]]) -> tuple[Block, ...]:
    rows = (
        (
            code(start),
            listed(to(_part_reference(start, number), _span(names)) for number, names in enumerate(runs, start=1)),
            inlines(str(sum(counts[name] for names in runs for name in names))),
        )
        for start, runs in parts.items()
    )
    columns = ("Keys that begin with", "Groups", "Figures")
    return (
        table(columns, rows, numeric=(2,)),
        para(fixed("derivations.search")),
    )


def _groups(counts: Mapping[str, int]) -> Iterator[tuple[Inlines, ...]]:
    for name in sorted(counts, key=_counting):
        yield (Link(f"figures:{name}", (Code(name),)),), inlines(str(counts[name]))


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


def derivation_pages(book: HandbookContext, uses: Uses) -> Iterator[Page]:
    """One page a group of keys; none of them is printed in the book."""
    groups: dict[str, list[Figure]] = {}
    for figure in book.ledger:
        groups.setdefault(group_of(figure.key), []).append(figure)
    for name, figures in sorted(groups.items()):
        yield page(
            id=f"figures:{name}",
            path=path_of(f"figures:{name}"),
            title=f"Figures: {name}",
            section="figures",
            lead=fixed("derivations.one"),
            blocks=[block for figure in figures for block in _derivation(book, figure, uses)],
        )


def _derivation(book: HandbookContext, figure: Figure, uses: Uses) -> Iterator[Block]:
    yield Heading(2, (Code(figure.key),), figure.key)
    yield _facts(figure)
    if figure.inputs:
        yield table(MADE_FROM, (_input(book, part) for part in figure.inputs))
    made = uses.made.get(figure.key, ())
    if made:
        yield USED_BY
        yield ItemList(tuple((_user(key),) for key in made))
    printed = uses.printed_on.get(figure.key, ())
    yield PRINTED_ON
    yield ItemList(tuple((_place(on, uses.titles.get(on, on)),) for on in printed)) if printed else NOWHERE


def _key(key: str) -> Link:
    return Link(f"figure:{key}", (Code(key),))


# What many figures tell alike is made once and held once: a big site has a million rows of them.


@lru_cache(maxsize=ALIKE)
def _user(key: str) -> Paragraph:
    return para(_key(key), " ", Fig(key))


@lru_cache(maxsize=ALIKE)
def _place(reference: str, title: str) -> Paragraph:
    return para(to(reference, title))


@lru_cache(maxsize=ALIKE)
def _row(label: str, text: str) -> Row:
    return inlines(label), inlines(text)


@cache
def _formula_rows(name: str) -> tuple[Row, ...]:
    record, named = formula_record(name), (inlines("Name of the formula"), code(name))
    if record is None:
        return (named,)
    return _row("Formula", f"{record.title}: {record.expression}"), named, _row("Valid for", record.valid)


def _facts(figure: Figure) -> Block:
    rows = (
        _row("What it is", figure.label),
        (inlines("Printed"), (Fig(figure.key),)),
        (inlines("Exact value"), inlines(exact_text(figure))),
        _row("Rounding", figure.rounding.describe() if figure.rounding else "printed as it is"),
        *_formula_rows(figure.formula),
        _row("Source", figure.source),
        *((_row("Assumes", figure.note),) if figure.note else ()),
        _row("Read in its source", "yes" if figure.read else "no: it rests on a value that was not read in its source"),
    )
    return Table(PLAIN_HEAD, rows, kind="facts")


def _input(book: HandbookContext, part: Input) -> tuple[Inlines, ...]:
    found: list[Inlines] = []
    if part.figure:
        found.append((_key(part.figure),))
    if part.where:
        found.append(code(part.where))
    if part.source:
        found.append(inlines(part.source))
    if not part.read:
        found.append(inlines("(not read in its source)"))
    value: Inlines = (Fig(part.figure),) if part.figure in book.ledger.figures else inlines(part.text)
    return (inlines(part.label), value, inlines(*(inline for run in found for inline in (*run, *inlines(" "))))[:-1])


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
