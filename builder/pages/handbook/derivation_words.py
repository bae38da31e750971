"""A derivation in words: what a figure is, how it was made, and where it goes. Told when its page is rendered."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import chain

from builder.base.quantity import printed_unit
from builder.base.rounding import plain
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.pages.blocks import Block, Code, Derived, Heading, Inline, Inlines, ItemList, Link, Paragraph, Strong, Text
from builder.pages.compositions import Page
from builder.pages.handbook.figure_told import after, formula_record, is_stated, remarks, without_what_both_say
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
