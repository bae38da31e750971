"""A derivation in words: what a figure is, how it was made, and where it goes; and how long that makes it.

The words are made when a page is rendered. What they leave out, since it is told already, is known before.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import chain
from typing import Final

from builder.base.quantity import printed_unit
from builder.base.rounding import plain
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.figures.formulas.registry import Formula, formula_of
from builder.pages.blocks import Block, Code, Derived, Heading, Inline, Inlines, ItemList, Link, Paragraph, Strong, Text
from builder.pages.compositions import Page
from builder.pages.handbook.fixed_prose import fixed
from builder.pages.handbook.parts import code, inlines, listed, to


def told_in_words(page: Page, whole: Mapping[str, Figure], figures: Mapping[str, Figure]) -> Page:
    """The same page with its derivations in words.

    :param whole: figures with all that they were made from; asked only for those whose derivations these are.
    :param figures: what is printed of each figure.
    """
    if not any(isinstance(block, Derived) for block in page.blocks):
        return page
    blocks = (
        _derivation(block, whole[block.key], figures) if isinstance(block, Derived) else (block,)
        for block in page.blocks
    )
    return replace(page, blocks=tuple(chain.from_iterable(blocks)))


def _derivation(derived: Derived, figure: Figure, figures: Mapping[str, Figure]) -> Iterator[Block]:
    """A heading and few lines: a table for each of some thousand figures would be most of a site's bytes."""
    yield Heading(2, (Code(figure.key),), figure.key)
    exact = f"; exactly {exact_text(figure)}" if figure.rounding and exact_text(figure) != figure.printed else ""
    rounding = f"; {figure.rounding.short_words}" if figure.rounding else ""
    more = "".join(f" {word}: {text}." for word, text in remarks(figure))
    unread: tuple[Inline, ...] = () if figure.read else (Text(" "), *fixed("derivations.unread"))
    stated = is_stated(figure)
    formula = () if stated else (Text(" "), *_formula(figure.formula), Text("."))
    made = (Text(f"{exact}{rounding}."), *formula, Text(more), *unread)
    said = (Text(f"{figure.label}: "), Strong((Text(figure.printed),)), *made)
    if len(figure.inputs) == 1:
        said = (
            *said,
            Text(" Stated as " if stated else " From "),
            *_input(figure, figure.inputs[0], figures),
            Text("."),
        )
    yield Paragraph(said)
    if len(figure.inputs) > 1:
        yield ItemList(tuple((Paragraph(_input(figure, part, figures)),) for part in figure.inputs))
    users = tuple(Link(f"figure:{key}", (Text(after(figure.key, key)),)) for key in derived.into)
    places = tuple(to(on, title) for on, title in derived.places)
    used, printed = _some("Used by", users, derived.into_all), _some("Printed on", places, derived.places_all)
    if used or printed:
        yield Paragraph((*used, *((Text(" "),) if used and printed else ()), *printed))


def _some(word: str, first: tuple[Inline, ...], count: int) -> tuple[Inline, ...]:
    """What uses a figure, the first by name; nothing where nothing does."""
    more = f"; and {count - len(first)} more." if count > len(first) else "."
    return (Text(f"{word}: "), *listed(first), Text(more)) if first else ()


@cache
def _formula(name: str) -> Inlines:
    record = formula_record(name)
    return (Text("Formula: "), Link(f"formula:{name}", (Text(record.title),)) if record else Code(name))


def _input(figure: Figure, part: Input, figures: Mapping[str, Figure]) -> Inlines:
    """One thing that it was made from: what it is, its value, where it stands."""
    known = part.figure in figures
    found: list[Inlines] = [(Link(f"figure:{part.figure}", (Code(part.figure),)),)] if part.figure and not known else []
    if part.where:
        found.append(code(part.where))
    if part.source:
        found.append(inlines(part.source))
    if not part.read:
        found.append(inlines("not read in its source"))
    value: Inlines = (to(f"figure:{part.figure}", figures[part.figure].printed),) if known else inlines(part.seen)
    place = (Text(" ("), *listed(found), Text(")")) if found else ()
    label = "" if part.label == figure.label else f"{without_what_both_say(figure.label, part.label)}: "
    return (Text(label), *value, *((Text(part.rounded),) if part.rounded else ()), *place)


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


# ---- what is told, and how long that makes it ----------------------------------------------


USERS: Final = 6
"""Figures made from one, and pages that print it, are named one by one up to so many."""
STATED: Final = ("origin.stated", "origin.day")
"""Formulas of what a line of the site says itself, which needs no more than that line."""
ENTRY, LINK, PLACE = 112, 48, 45
"""Bytes of markup around a derivation, around a link to another, and around the line where a value stands."""
PRINTED: Final = {
    "record": 8, "model": 10, "setpoint": 24, "window": 28, "chart": 45, "cylinder": 45, "records": 45, "reading": 50,
    "unit": 82, "gas": 90, "check": 125, "hot-work": 125, "response": 150, "area": 150, "cross": 160, "limit": 160,
    "card": 160,
}  # fmt: skip
USUALLY: Final = 60
"""Bytes that name the pages which print a figure: about so many of each family, and of any other."""


def is_stated(figure: Figure) -> bool:
    """Whether a figure is what one line of the site says."""
    return figure.formula in STATED and len(figure.inputs) == 1


def remarks(figure: Figure) -> Iterator[tuple[str, str]]:
    """Source and assumption of a figure, where its formula does not tell the same."""
    record = formula_record(figure.formula)
    if record is None or record.source != figure.source:
        yield "Source", figure.source
    if figure.note:
        yield "Assumes", figure.note


def after(own: str, other: str) -> str:
    """A key that another stands beside: after a sign of omission what is not the same in both, from a whole part on.

    >>> after("window.c-1.o2.from", "window.c-1.o2.tolerance.relative")
    '…tolerance.relative'
    """
    same = 0
    for one, two in zip(own.split("."), other.split(".")[:-1], strict=False):
        if one != two:
            break
        same += len(one) + 1
    return f"…{other[same:]}" if same else other


def without_what_both_say(own: str, label: str) -> str:
    """The label of what a figure is made from, without the longest run between commas that the figure's own has too.

    >>> without_what_both_say("Tolerance, Bump test with c-1", "Expected display, Bump test with c-1")
    'Expected display'
    """
    parts = own.split(", ")
    runs = (
        ", " + ", ".join(parts[start:end])
        for length in range(len(parts) - 1, 0, -1)
        for start in range(1, len(parts) - length + 1)
        for end in (start + length,)
    )
    return next((label.replace(run, "", 1) for run in runs if f"{run}," in f"{label},"), label)


@cache
def formula_record(name: str) -> Formula | None:
    """The record of a formula, or ``None`` for an id that the register does not have."""
    try:
        return formula_of(name)
    except LookupError:
        return None


# ---- how long it is ----------------------------------------------------------------------------


def lengths(figures: Mapping[str, Figure]) -> Mapping[str, int]:
    """About how many bytes each derivation has, told by words and keys alone, so that a new value moves no other."""
    users = Counter(part.figure for figure in figures.values() for part in figure.inputs if part.figure)
    return {key: _length(figure) + min(users[key], USERS) * (len(key) + LINK) for key, figure in figures.items()}


def _length(figure: Figure) -> int:
    record = None if is_stated(figure) else formula_record(figure.formula)
    formula = LINK + len(record.id) + len(record.title) if record else 0
    rounding = 2 * len(figure.rounding.short_words) if figure.rounding else 0
    told = sum(len(word) + len(text) for word, text in remarks(figure))
    words = 2 * len(figure.key) + len(figure.label) + formula + rounding + told
    printed = PRINTED.get(figure.key.partition(".")[0], USUALLY)
    return ENTRY + printed + words + sum(_length_of(part, figure.label) for part in figure.inputs)


def _length_of(part: Input, label: str) -> int:
    words = len(without_what_both_say(label, part.label)) + (LINK if part.figure else len(part.text))
    return words + len(part.figure) + len(part.source) + (PLACE if part.where else 0)
