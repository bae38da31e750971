"""Findings of guard rails that the site answers for by name: they warn instead of stopping, and say who answers.

Only a rule that declares ``ACCEPTABLE`` can be answered for. What a law or a limit that counts there says is never
among them, and an acceptance whose day of review has passed counts for nothing.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from builder.base.finding import Finding, Severity
from builder.figures.figure import day_text
from builder.program.answered_for import Acceptance

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
