"""Where figures are put together: labels, exact value, rounding, formula and inputs in one call."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Any

from builder.base.errors import OutOfRangeError, Problem
from builder.base.quantity import Quantity, magnitude, quantity
from builder.base.rounding import Rounding, printed
from builder.base.where import Given, Where
from builder.figures.figure import NO_BREAK_SPACE, Figure, Input
from builder.figures.formulas import origin
from builder.figures.formulas.registry import formula_of, id_of
from builder.figures.ledger import LedgerBuilder
from builder.figures.roundings import as_written
from builder.program.interval import Interval
from builder.program.program import Program
from builder.reference.published import Published

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def spelled(day: date) -> str:
    """A date no reader can turn round: ``25 Nov 2026``."""
    return NO_BREAK_SPACE.join((str(day.day), MONTHS[day.month - 1], str(day.year)))


def of(figure: Figure, label: str = "") -> Input:
    """Another figure as an input."""
    return Input(label=label or figure.label, text=figure.printed, figure=figure.key, read=figure.read)


def given(label: str, value: Given[Any]) -> Input:
    """A content line as an input."""
    return Input(label=label, text=value.text, where=value.where)


def from_table(label: str, value: Published) -> Input:
    """A published value as an input."""
    text = f"{value.text}{NO_BREAK_SPACE}{value.unit}"
    place = ", ".join(part for part in (value.locator, value.note) if part)
    source = f"{value.source.cited()}" + (f"; {place}" if place else "")
    return Input(label=label, text=text, source=source, read=value.read)


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRecorder:
    """The program, the ledger being made, and the day everything is judged on."""

    program: Program
    ledger: LedgerBuilder
    as_of: date
    problems: list[Problem] = field(default_factory=list)
    """Content that asks a formula outside its range of validity."""

    @contextmanager
    def at(self, where: Where) -> Iterator[None]:
        """Note a formula's refusal as a fault of the content line, and go on with the next."""
        try:
            yield
        except OutOfRangeError as error:
            self.problems.append(Problem(where, error.found, error.allowed))

    def number(
        self,
        key: str,
        label: str,
        value: Quantity,
        unit: str,
        rounding: Rounding | None,
        function: Callable[..., Any],
        inputs: Sequence[Input],
        *,
        note: str = "",
        source: str = "",
        relation: str = "",
    ) -> Figure:
        """Enter a number; its text is made here, once, from the exact value."""
        record = formula_of(id_of(function))
        exact = magnitude(value, unit)
        text = printed(exact, rounding or as_written(str(exact)))
        return self.ledger.add(
            Figure(
                key=key,
                label=label,
                exact=exact,
                unit=unit,
                text=text,
                rounding=rounding,
                formula=record.id,
                inputs=tuple(inputs),
                source=source or record.source,
                relation=relation,
                note=note,
                read=record.read and all(part.read for part in inputs if part.decides),
            )
        )

    def stated(self, key: str, label: str, value: Given[Quantity], unit: str, note: str = "") -> Figure:
        """Enter a number as the content states it."""
        rounding = as_written(value.text)
        exact = magnitude(value.value, unit)
        if rounding.apply(exact) != exact:
            rounding = Rounding(direction=rounding.direction, digits=4, why="converted from the unit as written")
        return self.number(key, label, value.value, unit, rounding, origin.stated, [given(label, value)], note=note)

    def published(self, key: str, label: str, value: Published, note: str = "", relation: str = "") -> Figure:
        """Enter a number as a source prints it."""
        made = quantity(value.value, value.unit)
        inputs = [from_table(label, value)]
        rounding = as_written(value.text)
        return self.number(
            key,
            label,
            made,
            value.unit,
            rounding,
            origin.published,
            inputs,
            note=note or value.note,
            source=inputs[0].source,
            relation=relation,
        )

    def interval(self, key: str, label: str, value: Given[Interval]) -> None:
        """Enter an interval in calendar time; one that counts days of use is no number and is left out."""
        if value.value.each_day_of_use:
            return
        record = formula_of(id_of(origin.stated))
        self.ledger.add(
            Figure(
                key=key,
                label=label,
                exact=Fraction(value.value.count),
                unit="",
                text=value.value.text.replace(" ", NO_BREAK_SPACE),
                rounding=None,
                formula=record.id,
                inputs=(given(label, value),),
                source=record.source,
            )
        )

    def day(
        self, key: str, label: str, value: date, function: Callable[..., Any], inputs: Sequence[Input], note: str = ""
    ) -> Figure:
        """Enter a date."""
        record = formula_of(id_of(function))
        return self.ledger.add(
            Figure(
                key=key,
                label=label,
                exact=value,
                unit="",
                text=spelled(value),
                rounding=None,
                formula=record.id,
                inputs=tuple(inputs),
                source=record.source,
                note=note,
                read=all(part.read for part in inputs),
            )
        )
