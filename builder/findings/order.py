"""Asks every rule that stands in a module of ``rules``, and tells what the site answers for by name."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.figures.figure import day_text
from builder.findings import rules
from builder.findings.rule import Rule
from builder.program.answered_for import Acceptance


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
    day = computed.ledger.today
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


# ---- guard rails that the site answers for by name ---------------------------------------
#
# Only a rule that is declared acceptable can be answered for. What a law or a limit that counts there says is never
# among them, and an acceptance whose day of review has passed counts for nothing.

IN_VAIN = "accepted-in-vain"


def with_answers(
    found: Iterable[Finding], accepted: tuple[Acceptance, ...], acceptable: frozenset[str], day: date
) -> tuple[Finding, ...]:
    """The findings, those that somebody answers for on that day made lighter and told with name, reason and review."""
    return tuple(_answered(finding, accepted, acceptable, day) for finding in found)


def _answered(finding: Finding, accepted: tuple[Acceptance, ...], acceptable: frozenset[str], day: date) -> Finding:
    one = next((one for one in accepted if _meant(one, finding)), None)
    if one is None or finding.rule not in acceptable:
        return finding
    if day > one.review.value:
        lapsed = f" {one.by.value} answered for it until {day_text(one.review.value)}; that day is past."
        return replace(finding, message=finding.message + lapsed)
    told = (
        f" {one.by.value} answers for it since {day_text(one.on.value)}: {one.reason.value.rstrip('.')}. "
        f"To be looked at again by {day_text(one.review.value)}."
    )
    lighter = Severity.WARN if finding.severity is Severity.STOP else finding.severity
    return replace(finding, severity=lighter, message=finding.message + told)


def _meant(one: Acceptance, finding: Finding) -> bool:
    return one.rule.value == finding.rule and finding.about(one.about.value)


def in_vain(
    found: Iterable[Finding], accepted: tuple[Acceptance, ...], acceptable: frozenset[str]
) -> Iterator[Finding]:
    """A ``warn`` for each acceptance that answers for nothing that was found, or for what nobody can answer for."""
    every = tuple(found)
    for one in accepted:
        if one.rule.value not in acceptable:
            told = f"nobody can answer for {one.rule.value}; for these only: {', '.join(sorted(acceptable))}"
        elif not any(_meant(one, finding) for finding in every):
            told = f"{one.rule.value} was not found of {one.about.value}"
        else:
            continue
        yield Finding(
            rule=IN_VAIN,
            severity=Severity.WARN,
            message=f"An entry of what is accepted does nothing: {told}.",
            where=one.rule.where,
            source="the register of what this site accepts",
            mend="take the entry out, or name the rule and what it is about as the page of findings does",
            subject="page:findings",
        )
