"""Where figures are made: one call names a formula and its arguments, asks it, and keeps what it was asked with."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import field
from datetime import date
from fractions import Fraction
from typing import Any, TypeAlias, TypeVar

from builder.base.errors import OutOfRangeError, Problem
from builder.base.fault_kinds import Kind
from builder.base.quantity import Quantity, magnitude
from builder.base.record import dataclass
from builder.base.rounding import Rounding
from builder.base.where import Given, Where
from builder.figures.figure import Figure, Input
from builder.figures.formulas import origin
from builder.figures.formulas.registry import Formula, record_of
from builder.figures.ledger import LedgerBuilder
from builder.figures.results import result_of
from builder.figures.roundings import as_written
from builder.figures.terms import Term, exactly, tabled, written
from builder.program.interval import Interval
from builder.program.keys.family import Family
from builder.program.program import Program
from builder.program.values import written_unit
from builder.reference.published import Published

V = TypeVar("V")
ALIKE = (str, date, Fraction, Quantity)
"""Types of which two equal values cannot be told apart; two equal times may be of two zones, and yes equals one."""
Rule: TypeAlias = Rounding | Callable[[Fraction], Rounding] | None
"""How a number is rounded; what makes the rule where it hangs on the number; nothing for days and whole counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRecorder:
    """The program, the ledger being made, and the day everything is judged on."""

    program: Program
    ledger: LedgerBuilder
    as_of: date
    problems: list[Problem] = field(default_factory=list)
    """Content that asks a formula outside its range of validity."""
    alike: dict[Any, Any] = field(default_factory=dict)
    """Values that figures share: a large site's records say the same few again and again."""

    @contextmanager
    def at(self, where: Where) -> Iterator[None]:
        """Note a formula's refusal as a fault of the content line, and go on with the next."""
        try:
            yield
        except OutOfRangeError as error:
            self.problems.append(Problem(where, error.found, error.allowed, kind=Kind.RANGE))

    def derived(
        self,
        key: str,
        label: str,
        unit: str,
        rounding: Rule,
        function: Callable[..., Any],
        *terms: Term | Figure | Sequence[Term | Figure] | None,
        beside: Sequence[Input] = (),
        part: int | None = None,
        note: str = "",
        source: str = "",
        relation: str = "",
    ) -> Figure:
        """Ask a formula and enter what it answers, with every argument it was asked with.

        :param unit: what the answer is printed in; empty for counts, factors, days and intervals.
        :param rounding: the rule for a number; where its direction hangs on the number itself, what makes it.
        :param terms: the formula's arguments in order, several for a list; ``None`` for one it can do without. A figure
            is taken as it is before rounding.
        :param beside: what explains the figure, or is shown for comparison, and is no argument.
        :param part: which of the formula's several answers.
        :raises OutOfRangeError: where the formula refuses.
        """
        record = record_of(function)
        arguments, inputs = self._arguments(record, terms)
        answer = function(**arguments)
        if part is not None:
            answer = answer[part]
        if callable(rounding):
            rounding = rounding(magnitude(answer, unit))
        result = result_of(answer, unit, rounding)
        inputs += beside
        return self.ledger.add(
            Figure(
                key=key,
                label=label,
                exact=self._once(result.exact),
                unit=unit,
                text=self._once(result.text),
                rounding=rounding,
                formula=record.id,
                inputs=tuple(inputs),
                source=source or record.source,
                relation=relation,
                note=self._once(note),
                read=record.read and all(made.read for made in inputs if made.decides),
                part=part,
                interval=result.interval,
            )
        )

    def stated(
        self, key: str, label: str, value: Given[Quantity], unit: str | tuple[str, ...], note: str = ""
    ) -> Figure:
        """Enter a number as the content states it; of several units in the one it is written in."""
        unit = unit if isinstance(unit, str) else written_unit(value, unit)
        rounding = as_written(value.text)
        exact = magnitude(value.value, unit)
        if rounding.apply(exact) != exact:
            rounding = Rounding(direction=rounding.direction, digits=4, why="converted from the unit as written")
        return self.derived(key, label, unit, rounding, origin.stated, written(label, value), note=note)

    def each_stated(
        self, *rows: tuple[Family, str, Given[Quantity] | None, str | tuple[str, ...]], **parts: str | int
    ) -> None:
        """Enter all numbers that the content states of one thing, but for those that it leaves out.

        :param rows: of each its family, its label, the value and its unit, or several as above.
        :param parts: the thing, as keys of these families name it.
        """
        for family, label, value, unit in rows:
            if value is not None:
                self.stated(family(**parts), label, value, unit)

    def published(self, key: str, label: str, value: Published, note: str = "") -> Figure:
        """Enter a number as a source prints it."""
        term = tabled(label, value)
        rounding = as_written(value.text)
        return self.derived(
            key, label, value.unit, rounding, origin.published, term, note=note or value.note, source=term.told.source
        )

    def interval(self, key: str, label: str, value: Given[Interval]) -> Figure | None:
        """Enter an interval; one before each day's use is no number and is left out."""
        if value.value.each_day_of_use:
            return None
        return self.derived(key, label, "", None, origin.stated, written(label, value))

    def day(self, key: str, label: str, value: Given[date], name: str) -> Figure:
        """Enter a day as the content states it."""
        return self.derived(key, label, "", None, origin.day_stated, written(name, value))

    def _arguments(
        self, record: Formula, terms: Sequence[Term | Figure | Sequence[Term | Figure] | None]
    ) -> tuple[dict[str, Any], list[Input]]:
        """What a formula is called with, by name, and what is told of it."""
        if len(terms) > len(record.parameters):
            raise TypeError(f"{record.id} has {len(record.parameters)} arguments, not {len(terms)}")
        arguments: dict[str, Any] = {}
        inputs: list[Input] = []
        for parameter, term in zip(record.parameters, terms, strict=False):
            if term is None:
                continue
            asked = (term,) if isinstance(term, Term | Figure) else term
            several = [exactly(part) if isinstance(part, Figure) else part for part in asked]
            arguments[parameter.name] = tuple(part.value for part in several) if asked is term else several[0].value
            inputs += (self._input_of(part, parameter.name) for part in several)
        return arguments, inputs

    def _input_of(self, term: Term, parameter: str) -> Input:
        told = term.told
        return told.argument(parameter, self._once(told.text), None if told.figure else self._once(term.value))

    def _once(self, value: V) -> V:
        """The first value that was the same as this one."""
        return self.alike.setdefault((type(value), value), value) if type(value) in ALIKE else value
