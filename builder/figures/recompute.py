"""A ledger made again from its own file: every figure asked of its formula once more, from what the file tells alone.

Whoever changes an exact value, an argument, a text, a unit or a rounding in the file is found, whatever checksums say:
the figure, or one made from it, comes out otherwise. What nothing here can tell is whether the first values, those of
content lines and tables, are the right ones; their texts are held against their values, and no more.
"""

import re
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

from builder.base import quantity as quantities
from builder.base.errors import HandbookError
from builder.base.record import dataclass
from builder.base.rounding import Direction, Rounding, plain
from builder.figures.figure import EXACT, NO_BREAK_SPACE, PRINTED, day_text
from builder.figures.formulas.registry import Formula, formula_of
from builder.figures.results import Result, result_of
from builder.figures.terms import value_text
from builder.figures.values import Value, rational_of, value_of_json
from builder.program.interval import Interval

REFUSALS = (HandbookError, ArithmeticError, AttributeError, LookupError, TypeError, ValueError)
"""What a formula, or the reading of a value, may answer to arguments that nobody should have written."""
WORDS = frozenset({"expression", "rounding"})
"""Fields that are told in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerDifference:
    """One thing in which a ledger differs from what its formulas answer."""

    key: str
    """Key of the figure."""
    what: str
    """What of it, as in ``exact`` or ``input 'flow'``."""
    found: str
    """What the file tells."""
    expected: str
    """What it must be."""

    def __str__(self) -> str:
        return f"{self.key}: {self.what} is {self.found!r}, not {self.expected!r}"


def recompute(figures: Mapping[str, Any], *, words: bool = True) -> tuple[LedgerDifference, ...]:
    """What differs in a ledger from what its formulas answer today; nothing where all figures hold.

    :param figures: the entries of the ledger by key, as read from its parts; each is asked for as it is needed.
    :param words: whether formulas must be told in the words that they are told in today.
    """
    again = _Again(figures, words=words)
    for key in figures:
        again.made(key)
    return tuple(again.differences)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Answered:
    """A figure as its formula answers it."""

    answer: Any
    """What the formula gave back, for figures that take it exact."""
    result: Result
    unit: str
    rounding: Rounding | None
    printed: str
    read: bool

    def taken(self, how: str) -> Any:
        """What another formula is asked with.

        :raises ValueError: for another way of taking a figure.
        """
        if how not in (EXACT, PRINTED):
            raise ValueError(f"{how!r} is no way of taking a figure")
        exact = self.result.exact
        if isinstance(exact, date) or self.result.interval is not None:
            return self.answer
        return quantities.quantity(self.rounding.apply(exact) if how == PRINTED and self.rounding else exact, self.unit)


class _Again:
    """The figures made so far; each is made once, its arguments before it."""

    def __init__(self, figures: Mapping[str, Any], *, words: bool) -> None:
        self._figures = figures
        self._words = words
        self._made: dict[str, _Answered | None] = {}
        self.differences: list[LedgerDifference] = []

    def made(self, key: str) -> _Answered | None:
        """The figure, or ``None`` where it cannot be made; why not is noted once."""
        if key not in self._made:
            self._made[key] = None  # a figure that rests on itself meets this
            try:
                self._made[key] = self._make(key, self._figures[key])
            except REFUSALS as error:
                self._note(key, "figure", _words(error), "what its formula can answer")
        return self._made[key]

    def _note(self, key: str, what: str, found: object, expected: object) -> None:
        self.differences.append(LedgerDifference(key=key, what=what, found=str(found), expected=str(expected)))

    def _make(self, key: str, told: Mapping[str, Any]) -> _Answered:
        record = formula_of(told["formula"])
        if told["version"] != record.version:
            self._note(key, "version of its formula", told["version"], record.version)
        rounding, unit = rounding_of(told["rule"]), told["unit"]
        if unit not in quantities.UNITS:
            raise ValueError(f"{unit!r} is no unit")
        answer = record.function(**self._arguments(key, record, told["inputs"]))
        if told.get("part") is not None:
            answer = answer[told["part"]]
        result = result_of(answer, unit, rounding)
        if unit and (isinstance(result.exact, date) or result.interval is not None):
            self._note(key, "unit", unit, "")
        parts = [told["relation"], result.text, quantities.printed_unit(unit)]
        read = record.read and all(part["read"] for part in told["inputs"] if part["decides"])
        made = _Answered(
            answer=answer,
            result=result,
            unit=unit,
            rounding=rounding,
            printed=NO_BREAK_SPACE.join(part for part in parts if part),
            read=read,
        )
        for what, expected in _fields(made, record).items():
            if told[what] != expected and (self._words or what not in WORDS):
                self._note(key, what, told[what], expected)
        return made

    def _arguments(self, key: str, record: Formula, inputs: list[Mapping[str, Any]]) -> dict[str, Any]:
        """What the formula is asked with, by name; every input is held against what it names."""
        values: dict[str, list[Any]] = {}
        for part in inputs:
            name, value = part.get("parameter", ""), self._value(key, part)
            if name:
                values.setdefault(name, []).append(value)
        known = {parameter.name: parameter for parameter in record.parameters}
        for name in sorted(values.keys() - known.keys()):
            raise ValueError(f"{record.id} has no argument {name!r}")
        arguments: dict[str, Any] = {}
        for name, parameter in known.items():
            found = values.get(name)
            if parameter.many and (found is not None or not parameter.optional):
                whole = found is not None and len(found) == 1 and isinstance(found[0], tuple)
                arguments[name] = found[0] if found and whole else tuple(found or ())
            elif found is not None:
                if len(found) > 1:
                    raise ValueError(f"{record.id} takes one {name!r}, not {len(found)}")
                arguments[name] = found[0]
        return arguments

    def _value(self, key: str, part: Mapping[str, Any]) -> Any:
        """The value of one input; of a figure that cannot be made there is none, and so of those made from it."""
        if part["figure"]:
            if part["figure"] not in self._made and part["figure"] not in self._figures:
                raise LookupError(f"no figure {part['figure']}")
            made = self.made(part["figure"])
            if made is None:
                raise LookupError(f"made from {part['figure']}, which cannot be made")
            for what, found, expected in (("text", part["text"], made.printed), ("read", part["read"], made.read)):
                if found != expected:
                    self._note(key, f"{what} of input {part['label']!r}", found, expected)
            return made.taken(part["taken"]) if part.get("parameter") else None
        value = value_of_json(part.get("value"))
        if part.get("parameter") and (expected := contradicts(part["text"], value)):
            self._note(key, f"text of input {part['label']!r}", part["text"], expected)
        return value


def _words(error: Exception) -> str:
    """What was refused; a clash of units has no words of its own that can be relied on."""
    return (
        f"{type(error).__name__}: {error}"
        if isinstance(error, HandbookError | LookupError | ValueError)
        else (f"{type(error).__name__}: arguments that do not fit")
    )


def rounding_of(rule: Mapping[str, Any] | None) -> Rounding | None:
    """The rule of rounding as the file tells it.

    :raises ValueError: for one that no builder writes.
    """
    if rule is None:
        return None
    numbers = {name: rational_of(rule[name]) for name in ("step", "cap") if name in rule}
    return Rounding(direction=Direction(rule["direction"]), why=rule["why"], digits=rule.get("digits"), **numbers)


def rule_of(rounding: Rounding | None) -> dict[str, Any] | None:
    """The rule of rounding as the file tells it."""
    if rounding is None:
        return None
    numbers = {"step": rounding.step, "cap": rounding.cap}
    return {
        "direction": rounding.direction.value,
        "why": rounding.why,
        **({"digits": rounding.digits} if rounding.digits is not None else {}),
        **{name: str(number) for name, number in numbers.items() if number is not None},
    }


def _fields(made: _Answered, record: Formula) -> dict[str, Any]:
    """What the file must tell of a figure."""
    exact = made.result.exact
    return {
        "exact": exact.isoformat() if isinstance(exact, date) else str(exact),
        "decimal": exact.isoformat() if isinstance(exact, date) else plain(exact),
        "text": made.result.text,
        "printed": made.printed,
        "rounding": made.rounding.words if made.rounding else "",
        "expression": record.expression,
        "read": made.read,
    }


SIGN = re.compile(r"^[<>≤≥] ?")
"""The relation sign that stands before the number of a rule."""


def contradicts(text: str, value: Value) -> str:
    r"""What the text would have to say; empty where it says that, or where nothing can be told.

    A bare number beside a quantity and a list of values in one line cannot be judged.

    >>> contradicts("10 ppm", 3), contradicts("3", 3), contradicts("25 Nov 2026", date(2026, 11, 26))
    ('3', '', '26\xa0Nov\xa02026')
    """
    words = text.replace(NO_BREAK_SPACE, " ")
    if value is None or isinstance(value, tuple):
        return ""
    if isinstance(value, bool | int | str | Interval):
        expected = value_text(value)
        return "" if words == expected else expected
    if isinstance(value, date):
        return _of_day(words, value)
    if isinstance(value, Fraction):
        return "" if _number(words) == value else plain(value)
    return _of_quantity(words, value)


def _of_day(words: str, day: date) -> str:
    """A day may be written in any order, but its three numbers must stand there."""
    if re.match(r"\d{4}-\d{2}-\d{2}", words):
        return "" if words.startswith(day.isoformat()) else day.isoformat()
    if words == day_text(day).replace(NO_BREAK_SPACE, " "):
        return ""
    numbers = {int(number) for number in re.findall(r"[0-9]{1,4}", words)}
    named = {day.day, day.month} <= numbers and numbers & {day.year, day.year % 100}
    return "" if named else day_text(day)


def _of_quantity(words: str, value: quantities.Quantity) -> str:
    unit = value.unit
    expected = f"{plain(value.magnitude)}{NO_BREAK_SPACE}{unit}".strip()
    try:
        told, _ = quantities.parse_quantity(SIGN.sub("", words))
    except quantities.QuantityError:
        number = _number(words)
        return "" if number is None or unit or number == value.magnitude else expected
    return (
        ""
        if quantities.same_dimension(told, unit) and quantities.magnitude(told, unit) == value.magnitude
        else expected
    )


def _number(words: str) -> Fraction | None:
    try:
        return quantities.parse_number(words)
    except quantities.QuantityError:
        return None
