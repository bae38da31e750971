"""Every rule, in one visible order, and the one call that asks them all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Protocol

from builder.base.finding import Finding
from builder.figures.ledger import Ledger
from builder.findings.rules import (
    alarm_above_limit,
    alarm_at_limit,
    alarm_not_on_card,
    alarm_off_step,
    alarm_rounds_to_nothing,
    alarm_without_rule,
    bump_gas_below_alarm,
    bump_gas_missing,
    bump_ratio,
    cannot_reach_lel,
    catalytic_without_oxygen,
    check_overdue,
    cross_adds,
    cross_hides_target,
    cylinder_expired,
    cylinder_expires_soon,
    cylinder_runs_out_soon,
    depth_without_pump,
    factor_inverted,
    failed_check_not_followed,
    hazard_unseen,
    hazard_without_alarm,
    hose_too_long,
    impossible_rhythm,
    label_mismatch,
    lamp_too_weak,
    last_disagrees,
    lel_basis,
    limit_missing,
    log_overwritten,
    lone_worker_too_long,
    look_back,
    oxygen_too_low_for_catalytic,
    part_without_check,
    record_cylinder_expired,
    record_cylinder_lacks_gas,
    record_in_future,
    record_not_authorised,
    record_pass_outside_window,
    record_unknown_cylinder,
    record_unknown_unit,
    records_end_early,
    review_overdue,
    review_soon,
    runtime_short,
    sensor_past_life,
    settings_differ,
    settings_missing,
    temperature_outside,
    training_expires,
    tube_needs_proof,
    used_while_failed,
    used_without_test,
    value_not_read,
)
from builder.program.program import Program


class FindingRule(Protocol):
    """A module of ``rules``: its id and its function."""

    ID: str

    @property
    def rule(self) -> Callable[[Program, Ledger], Iterator[Finding]]:
        """Yields what it proves wrong."""


RULES: tuple[FindingRule, ...] = (
    hazard_unseen,
    hazard_without_alarm,
    alarm_above_limit,
    limit_missing,
    alarm_rounds_to_nothing,
    alarm_at_limit,
    alarm_without_rule,
    alarm_off_step,
    alarm_not_on_card,
    value_not_read,
    factor_inverted,
    lamp_too_weak,
    oxygen_too_low_for_catalytic,
    cross_hides_target,
    cross_adds,
    cannot_reach_lel,
    bump_gas_below_alarm,
    bump_gas_missing,
    bump_ratio,
    catalytic_without_oxygen,
    cylinder_expired,
    cylinder_expires_soon,
    cylinder_runs_out_soon,
    lel_basis,
    label_mismatch,
    check_overdue,
    part_without_check,
    record_pass_outside_window,
    record_cylinder_expired,
    record_cylinder_lacks_gas,
    failed_check_not_followed,
    used_while_failed,
    used_without_test,
    look_back,
    settings_differ,
    record_unknown_unit,
    record_unknown_cylinder,
    record_in_future,
    records_end_early,
    record_not_authorised,
    last_disagrees,
    sensor_past_life,
    settings_missing,
    impossible_rhythm,
    training_expires,
    hose_too_long,
    tube_needs_proof,
    depth_without_pump,
    runtime_short,
    lone_worker_too_long,
    log_overwritten,
    temperature_outside,
    review_overdue,
    review_soon,
)
"""The order in which they are asked; a new rule is one file and one line here."""


def registered(rules: Iterable[FindingRule]) -> dict[str, FindingRule]:
    """The rules by id.

    :raises ValueError: for an id that stands twice.
    """
    made: dict[str, FindingRule] = {}
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
    return in_order(found)


def in_order(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings, the gravest first, then by file, line and rule."""
    return tuple(sorted(found, key=_place))


def _place(finding: Finding) -> tuple[int, str, int, str, str]:
    where = finding.where
    return finding.severity.rank, where.file, where.line, finding.rule, finding.message
