"""What a derivation says and what it leaves out because it is told already; and how long that makes it."""

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Final

from builder.figures.figure import Figure, Input
from builder.figures.formulas.registry import Formula, formula_of

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
