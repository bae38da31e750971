"""Asks every rule that stands in a module of ``rules``."""

from collections.abc import Iterable
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from builder.base.finding import Finding
from builder.figures.computed import Computed
from builder.findings import rules
from builder.findings.accepted import in_vain, with_answers
from builder.findings.rule import Rule
from builder.program.keys.families import AS_OF


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule of every module of ``rules``, in the order of the alphabet; a new one needs no line anywhere else."""
    modules = (import_module(f"{rules.__name__}.{found.name}") for found in iter_modules(rules.__path__))
    made = {entry.id: entry for module in modules for entry in vars(module).values() if isinstance(entry, Rule)}
    return tuple(made[name] for name in sorted(made))


def find(computed: Computed, asked: Iterable[Rule] | None = None) -> tuple[Finding, ...]:
    """Everything the rules prove wrong, the gravest first, then by file, line and rule.

    :param asked: the rules to ask, or ``None`` for all.
    :raises ValueError: for a finding under another id or of another weight than its rule declares.
    """
    found: list[Finding] = []
    for entry in all_rules() if asked is None else asked:
        for finding in entry.ask(computed):
            if finding.rule != entry.id or finding.severity not in entry.severities:
                raise ValueError(f"rule {entry.id} made a finding of {finding.rule}, a {finding.severity.value}")
            found.append(finding)
    accepted, may_be = computed.program.accepted, acceptable()
    day = computed.ledger.day(AS_OF())
    vain = in_vain(found, accepted, may_be) if asked is None else ()
    return in_order((*with_answers(found, accepted, may_be, day), *vain))


def acceptable() -> frozenset[str]:
    """Ids of the guard rails that a site may pass on purpose; ask whether one is in it, its order means nothing."""
    return frozenset(entry.id for entry in all_rules() if entry.acceptable)


def in_order(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings, the gravest first, then by file, line and rule."""
    return tuple(sorted(found, key=_place))


def _place(finding: Finding) -> tuple[int, str, int, str, str]:
    where = finding.where
    return finding.severity.rank, where.file, where.line, finding.rule, finding.message
