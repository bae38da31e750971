"""What formulas are asked with: each argument together with what a reader is told of it."""

from collections.abc import Sequence
from datetime import date
from typing import Any

from builder.base.quantity import Quantity, printed_unit, quantity
from builder.base.record import dataclass
from builder.base.rounding import plain
from builder.base.where import Given
from builder.figures.figure import EXACT, NO_BREAK_SPACE, PRINTED, Figure, Input, day_text
from builder.figures.values import Value
from builder.program.interval import Interval
from builder.reference.published import Published


@dataclass(frozen=True, slots=True)
class Term:
    """One argument of a formula."""

    value: Value
    """What the formula is asked with."""
    told: Input
    """What it is and where it is from."""


# ---- arguments -------------------------------------------------------------------------


def exactly(figure: Figure, label: str = "") -> Term:
    """Another figure, not rounded."""
    return Term(figure.value, _taken(figure, label, EXACT))


def as_set(figure: Figure, label: str = "") -> Term:
    """Another figure as it is printed, set in the instrument or waited for."""
    return Term(figure.printed_amount, _taken(figure, label, PRINTED))


def _taken(figure: Figure, label: str, how: str) -> Input:
    return Input(label=label or figure.label, text=figure.printed, figure=figure.key, read=figure.read, taken=how)


def written(label: str, stated: Given[Any], value: Value = None) -> Term:
    """A content line.

    :param value: what it means to the formula, where that is not the value as it was read.
    """
    return Term(stated.value if value is None else value, given(label, stated))


def tabled(label: str, value: Published) -> Term:
    """A published value."""
    return Term(quantity(value.value, value.unit), from_table(label, value))


def constant(label: str, value: Value, text: str = "", *, source: str, read: bool = True) -> Term:
    """A value that stands in neither content nor table: a definition, a choice of the builder, something counted."""
    return Term(value, Input(label=label, text=text or value_text(value), source=source, read=read))


def listing(label: str, values: Sequence[Value], texts: Sequence[str], unit: str = "", *, source: str) -> Term:
    """A whole list as one argument, told in one line, where a line each would hide the rest."""
    text = NO_BREAK_SPACE.join(part for part in ("; ".join(texts) or "none", unit) if part)
    return Term(tuple(values), Input(label=label, text=text, source=source))


def absent(label: str, why: str) -> Term:
    """An argument of a list that has no value."""
    return Term(None, Input(label=label, text="none", source=why))


def value_text(value: Value) -> str:
    """A value in words."""
    if isinstance(value, date):
        return day_text(value)
    if isinstance(value, Interval):
        return value.text
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Quantity):
        return NO_BREAK_SPACE.join(part for part in (plain(value.magnitude), printed_unit(value.unit)) if part)
    return str(value)


# ---- told beside the arguments ---------------------------------------------------------


def of(figure: Figure, label: str = "", *, decides: bool = True) -> Input:
    """Another figure."""
    return Input(label=label or figure.label, text=figure.printed, figure=figure.key, read=figure.read, decides=decides)


def given(label: str, value: Given[Any]) -> Input:
    """A content line."""
    return Input(label=label, text=value.text, where=value.where)


def from_table(label: str, value: Published, *, decides: bool = True) -> Input:
    """A published value."""
    text = f"{value.text}{NO_BREAK_SPACE}{value.unit}"
    place = ", ".join(part for part in (value.locator, value.note) if part)
    source = f"{value.source.cited()}" + (f"; {place}" if place else "")
    return Input(label=label, text=text, source=source, read=value.read, decides=decides)
