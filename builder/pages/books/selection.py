"""Which pages stand in which book: what the site asks for, or where it says nothing three books, one for one area."""

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from typing import Final

from builder.base.errors import ContentError, Problem
from builder.base.fault_kinds import Kind
from builder.base.nearest import nearest
from builder.base.where import Given, Where
from builder.pages.books.book import BookChapter
from builder.pages.compositions import Page
from builder.program.books import BookSpec, ChapterSpec
from builder.program.program import Program

BUILT: Final = Where("(built)", 1)
EVERY: Final = ":*"
"""Ends a reference to all pages of a kind."""
OVERVIEWS: Final = frozenset({"overview:areas", "overview:bottles", "overview:checks", "overview:models"})
"""Pages made for books alone that every site has."""
FORMS: Final = "overview:forms"
"""The one that only a site with forms or labels has."""
BENCH: Final = frozenset({"calibrator"})
"""Roles whose procedures belong on the bench."""


def selected(spec: BookSpec, pages: Mapping[str, Page]) -> tuple[BookChapter, ...]:
    """The chapters of a book; one without a page is left out, since an index of nothing helps nobody.

    :raises ContentError: with every reference that no page has, or when no chapter is left.
    """
    named = set(_named(spec))
    problems: list[Problem] = []
    made = []
    for chapter in spec.chapters:
        found = tuple(page for given in chapter.pages for page in _found(given, pages, named, problems))
        if found:
            made.append(BookChapter(title=chapter.title.value, pages=found))
    if not made and not problems:
        problems.append(Problem(spec.where, f"nothing stands in the book {spec.id!r}", "at least one page"))
    if problems:
        raise ContentError(problems)
    return tuple(made)


def surely_sound(program: Program, known: Container[str]) -> bool:
    """Whether no book can be at fault, told without a page: each names some, and all that it names are there.

    :param known: pages that are certainly there; others may be as well.
    """
    books = (_named(book) for book in program.books or ())
    return all(book and all(name in known or name in OVERVIEWS for name in book) for book in books)


def _named(spec: BookSpec) -> list[str]:
    """The references that ask for one page."""
    given = (one.value for chapter in spec.chapters for one in chapter.pages)
    return [reference for reference in given if not reference.endswith(EVERY)]


def _found(given: Given[str], pages: Mapping[str, Page], named: set[str], problems: list[Problem]) -> Iterator[Page]:
    if given.value.endswith(EVERY):
        start = given.value.removesuffix("*")
        yield from (page for name, page in pages.items() if name.startswith(start) and name not in named)
    elif given.value in pages:
        yield pages[given.value]
    elif given.where != BUILT:
        problem = Problem(
            given.where,
            f"no page is called {given.value!r}",
            "a page such as 'procedure:bump-test', or all of a kind as in 'gas:*'",
            nearest(given.value, pages),
            kind=Kind.NAME_UNKNOWN,
        )
        problems.append(problem)


# ---- where the site says nothing ----------------------------------------------------


def specs_of(program: Program) -> tuple[BookSpec, ...]:
    """The books of a site."""
    return program.books if program.books is not None else _usual(program)


def _usual(program: Program) -> tuple[BookSpec, ...]:
    bench = [f"procedure:{p.id}" for p in program.procedures.values() if {given.value for given in p.roles} <= BENCH]
    field = [f"procedure:{name}" for name in program.procedures if f"procedure:{name}" not in bench]
    if len(program.areas) == 1:
        return (_only(field, bench),)
    return (
        _book(
            "field",
            "Field book",
            "For everybody who goes in or tests the air: take it along.",
            ("Work areas", ("overview:areas", "opening:*")),
            ("Procedures", field),
        ),
        _book(
            "bench",
            "Bench book",
            "For whoever looks after detectors and test gas.",
            ("Procedures", bench),
            ("Detectors", ("overview:models", "model:*")),
            ("Sensors", ("sensor:*",)),
            ("Test gas", ("overview:bottles",)),
            ("Checks and forms", ("overview:checks", "check:*", FORMS)),
        ),
        _book(
            "reference",
            "Reference book",
            "For whoever answers for the numbers: what they rest on, and from where.",
            ("Setpoints", ("page:setpoints",)),
            ("Gases", ("page:gases", "gas:*")),
            ("Words and sources", ("page:cautions", "page:program", "page:glossary")),
        ),
    )


def _only(field: Sequence[str], bench: Sequence[str]) -> BookSpec:
    """The book of a site with one work area; what its numbers rest on can be read on a screen."""
    return _book(
        "handbook",
        "Handbook",
        "For everybody who goes in, tests the air or looks after detectors.",
        ("Work area and setpoints", ("overview:areas", "opening:*", "page:setpoints")),
        ("Procedures and checks", (*field, *bench, "overview:checks", "check:*", FORMS)),
        ("Detectors and test gas", ("overview:models", "model:*", "sensor:*", "overview:bottles")),
    )


def _book(identity: str, title: str, purpose: str, *chapters: tuple[str, Iterable[str]]) -> BookSpec:
    return BookSpec(
        id=identity,
        title=_given(title),
        purpose=_given(purpose),
        chapters=tuple(ChapterSpec(title=_given(name), pages=tuple(map(_given, found))) for name, found in chapters),
        where=BUILT,
    )


def _given(text: str) -> Given[str]:
    return Given(text, BUILT, text)
