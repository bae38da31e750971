"""Asks every rule there is: each module of ``rules`` is one, with its id, its weights, its words and its function."""

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Protocol, cast

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings import rules
from builder.findings.accepted import in_vain, with_answers
from builder.program.keys.families import AS_OF


class FindingRule(Protocol):
    """A module of ``rules``; its docstring says what is wrong and, after ``Source:``, who says so."""

    ID: str
    SEVERITIES: tuple[Severity, ...]
    """What its findings can weigh, the gravest first."""

    @property
    def rule(self) -> Callable[[Computed], Iterator[Finding]]:
        """Yields what it proves wrong."""


@cache
def all_rules() -> tuple[FindingRule, ...]:
    """Every module of ``rules``, in the order of the alphabet; a new rule is a file there and no line anywhere else."""
    names = sorted(found.name for found in iter_modules(rules.__path__))
    return tuple(cast("FindingRule", import_module(f"{rules.__name__}.{name}")) for name in names)


def find(computed: Computed, asked: Iterable[FindingRule] | None = None) -> tuple[Finding, ...]:
    """Everything the rules prove wrong, the gravest first, then by file, line and rule.

    :param asked: the rules to ask, or ``None`` for all.
    :raises ValueError: for a finding under another id or of another weight than its rule declares.
    """
    found: list[Finding] = []
    for entry in all_rules() if asked is None else asked:
        for finding in entry.rule(computed):
            if finding.rule != entry.ID or finding.severity not in entry.SEVERITIES:
                raise ValueError(f"rule {entry.ID} made a finding of {finding.rule}, a {finding.severity.value}")
            found.append(finding)
    accepted, may_be = computed.program.accepted, acceptable()
    day = computed.ledger.day(AS_OF())
    vain = in_vain(found, accepted, may_be) if asked is None else ()
    return in_order((*with_answers(found, accepted, may_be, day), *vain))


def acceptable() -> frozenset[str]:
    """Ids of the guard rails that a site may pass on purpose; ask whether one is in it, its order means nothing."""
    return frozenset(entry.ID for entry in all_rules() if getattr(entry, "ACCEPTABLE", False))


def in_order(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings, the gravest first, then by file, line and rule."""
    return tuple(sorted(found, key=_place))


def _place(finding: Finding) -> tuple[int, str, int, str, str]:
    where = finding.where
    return finding.severity.rank, where.file, where.line, finding.rule, finding.message
