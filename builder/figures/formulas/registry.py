"""The register of formulas: what each one is, where it comes from, and where it holds.

A topic is one module of this package; ``TOPICS`` names them all. ``formula`` registers a pure function, whose topic and
name give its id (``stock.gas-left``), and completes its docstring with the fields of its record, so the contract a
programmer reads and the one an auditor reads are one.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable
from functools import cache
from importlib import import_module
from typing import Any, TypeVar

from builder.base.nearest import nearest
from builder.base.record import dataclass

TOPICS = (
    "gas", "conversion", "atmosphere", "flammability", "vapour", "response", "bead", "mixtures", "ranges",
    "exposure", "limits", "oxygen", "sampling", "acceptance", "stock", "clock", "unit", "rhythm", "history", "life",
    "origin",
)  # fmt: skip
"""Every module of formulas, in the order in which a reader meets them."""

COMMON_PRACTICE = "common practice, no source"
"""The citation of a formula that the trade uses and no published text was found for."""

ID = re.compile(r"[a-z]+\.[a-z0-9]+(?:-[a-z0-9]+)*")

Function = TypeVar("Function", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameter:
    """One argument of a formula."""

    name: str
    many: bool
    """Whether it is a list."""
    optional: bool
    """Whether the formula does without."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """One formula as an auditor sees it."""

    id: str
    """Topic and name: ``gas.molar-volume``."""
    title: str
    """What it gives, in a few words."""
    expression: str
    """The formula as a reader writes it."""
    source: str
    """Citation with edition and table, page or paragraph; or ``COMMON_PRACTICE``."""
    valid: str
    """Where it holds; outside, the function refuses."""
    rounding: str
    """Which way a printed result is rounded to stay safe."""
    read: bool
    """False when the source or a coefficient was recalled, not read; such a figure never decides a ``stop``."""
    function: Callable[..., Any]
    """The function itself."""
    version: int
    """Raised by whoever changes what the formula answers, so that a ledger made with another one says so.

    Declared and not a hash of the source: a new word in a docstring or a tidier line is no new formula, and a helper
    far away can change an answer under an unchanged source. A change of answers without a raised version is found too,
    as figures that come out otherwise.
    """
    parameters: tuple[Parameter, ...]


_formulas: dict[str, Formula] = {}
_by_function: dict[Callable[..., Any], Formula] = {}


def formula(
    *,
    title: str,
    expression: str,
    source: str,
    valid: str,
    rounding: str,
    read: bool = True,
    version: int = 1,
    id: str = "",  # noqa: A002 - the field is called so everywhere a reader sees it
) -> Callable[[Function], Function]:
    """Register the decorated function.

    :param id: where it is not the topic and the name of the function, with hyphens.
    :raises TypeError: for a field that does not exist.
    :raises ValueError: for an empty field, a bad or doubled id, or a function without docstring.
    """
    fields = {"title": title, "expression": expression, "source": source, "valid": valid, "rounding": rounding}

    def register(function: Function) -> Function:
        topic = function.__module__.rpartition(".")[2]
        name = id or f"{topic}.{function.__name__.replace('_', '-')}"
        if not ID.fullmatch(name) or name.partition(".")[0] != topic:
            raise ValueError(f"formula id {name!r} of {function.__name__}; allowed: {topic}.words-with-hyphens")
        if name in _formulas:
            raise ValueError(f"formula id {name!r} is taken by {_formulas[name].function.__name__}")
        empty = [field for field, text in fields.items() if not text.strip()]
        if empty:
            raise ValueError(f"formula {name!r} has an empty {empty[0]}")
        if not (function.__doc__ or "").strip():
            raise ValueError(f"formula {name!r} has no docstring")
        if version < 1:
            raise ValueError(f"formula {name!r} has version {version}; allowed: 1 or more")
        parameters = _parameters(function)
        record = Formula(id=name, read=read, function=function, version=version, parameters=parameters, **fields)
        function.__doc__ = _complete(record)
        _formulas[name] = _by_function[function] = record
        return function

    return register


def _parameters(function: Callable[..., Any]) -> tuple[Parameter, ...]:
    """The arguments of a function, whose annotations are texts."""
    return tuple(
        Parameter(
            name=name,
            many=str(parameter.annotation).startswith("Sequence["),
            optional=parameter.default is not inspect.Parameter.empty,
        )
        for name, parameter in inspect.signature(function).parameters.items()
    )


def _complete(record: Formula) -> str:
    """The function's own docstring, followed by the fields of its record."""
    memory = "" if record.read else " (recalled, not read)"
    lines = (
        f"Formula: {record.expression}",
        f"Valid: {record.valid}",
        f"Rounds: {record.rounding}",
        f"Source: {record.source}{memory}",
    )
    return "\n\n".join((inspect.cleandoc(record.function.__doc__ or ""), "\n".join(lines)))


@cache
def _load() -> None:
    for topic in TOPICS:
        import_module(f"{__package__}.{topic}")


def all_formulas() -> tuple[Formula, ...]:
    """Every formula, by topic and then in the order of its module."""
    _load()
    return tuple(sorted(_formulas.values(), key=lambda record: TOPICS.index(record.id.partition(".")[0])))


def formula_of(id: str) -> Formula:  # noqa: A002 - as in the record
    """The formula with this id.

    :raises LookupError: when there is none; the text names the closest ones.
    """
    _load()
    if id not in _formulas:
        raise LookupError(f"no formula has the id {id!r}; nearest: {', '.join(nearest(id, list(_formulas))) or 'none'}")
    return _formulas[id]


def record_of(function: Callable[..., Any]) -> Formula:
    """The record of a registered function.

    :raises LookupError: when it is no formula.
    """
    if function not in _by_function:
        raise LookupError(f"{function.__name__} is no registered formula")
    return _by_function[function]
