"""Every rule, in one visible order, and the one call that asks them all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Protocol

from builder.base.finding import Finding
from builder.figures.ledger import Ledger
from builder.findings.rules import (
    alarm_above_limit,
    alarm_at_limit,
    alarm_off_step,
    alarm_rounds_to_nothing,
    alarm_without_rule,
    bump_gas_below_alarm,
    bump_gas_missing,
    check_overdue,
    cylinder_expired,
    cylinder_expires_soon,
    depth_without_pump,
    factor_inverted,
    hazard_unseen,
    hazard_without_alarm,
    hose_too_long,
    label_mismatch,
    lamp_too_weak,
    lel_basis,
    limit_missing,
    log_overwritten,
    oxygen_too_low_for_catalytic,
    review_overdue,
    review_soon,
    runtime_short,
    temperature_outside,
    value_not_read,
)
from builder.program.program import Program


class Rule(Protocol):
    """A module of ``rules``: its id and its function."""

    ID: str

    @property
    def rule(self) -> Callable[[Program, Ledger], Iterator[Finding]]:
        """Yields what it proves wrong."""


RULES: tuple[Rule, ...] = (
    hazard_unseen,
    hazard_without_alarm,
    alarm_above_limit,
    limit_missing,
    alarm_rounds_to_nothing,
    alarm_at_limit,
    alarm_without_rule,
    alarm_off_step,
    value_not_read,
    factor_inverted,
    lamp_too_weak,
    oxygen_too_low_for_catalytic,
    bump_gas_below_alarm,
    bump_gas_missing,
    cylinder_expired,
    cylinder_expires_soon,
    lel_basis,
    label_mismatch,
    check_overdue,
    hose_too_long,
    depth_without_pump,
    runtime_short,
    log_overwritten,
    temperature_outside,
    review_overdue,
    review_soon,
)
"""The order in which they are asked; a new rule is one file and one line here."""


def registered(rules: Iterable[Rule]) -> dict[str, Rule]:
    """The rules by id.

    :raises ValueError: for an id that stands twice.
    """
    made: dict[str, Rule] = {}
    for entry in rules:
        if entry.ID in made:
            raise ValueError(f"rule {entry.ID} is registered twice")
        made[entry.ID] = entry
    return made


def find(program: Program, ledger: Ledger) -> tuple[Finding, ...]:
    """Everything the rules prove wrong, the gravest first, then by file, line and rule."""
    found: list[Finding] = []
    for name, entry in registered(RULES).items():
        for finding in entry.rule(program, ledger):
            if finding.rule != name:
                raise ValueError(f"rule {name} made a finding of {finding.rule}")
            found.append(finding)
    return tuple(sorted(found, key=_place))


def _place(finding: Finding) -> tuple[int, str, int, str, str]:
    where = finding.where
    return finding.severity.rank, where.file, where.line, finding.rule, finding.message
