"""Gas that flows for less time than it needs to reach the sensors and be shown.

At the inlet that is the time of the slowest sensor; at the end of a hose the time through the hose comes first, of the
gas and of the alarms. Gas that is shut off before the hose is drawn through proves nothing of what is at its other end.
Source: 29 CFR 1910.146 App. B(3), a reading is held for the response time; arithmetic.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.findings.wording import keys, short_list
from builder.program.checks import Check
from builder.program.keys.families import (
    CHECK_ALARMS_WITHIN,
    CHECK_GAS_TIME,
    HOSE_DRAW_TIME,
    HOSE_WAIT,
    MODEL_T90,
)
from builder.program.keys.family import Family
from builder.program.models import Model

ID = "gas-time-short"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for gas that never comes through the hose, a ``warn`` for what fails sound units."""
    for check in computed.program.checks.values():
        if not check.uses_gas or check.gas_time is None:
            continue
        if check.through_hose is None:
            yield from _at_the_inlet(computed, check)
        else:
            yield from _through_hoses(computed, check)


def _at_the_inlet(computed: Computed, check: Check) -> Iterator[Finding]:
    gas = computed.ledger.get(CHECK_GAS_TIME(check=check.id))
    slowest = [(model, _slowest(computed, model)) for model in computed.program.models.values()]
    late = [(model, figure) for model, figure in slowest if gas and figure and figure.amount > gas.amount]
    if late and gas:
        told = {f"{model.name} needs {figure.printed}": figure for model, figure in late}
        yield _finding(check, gas, told, "its slowest sensor has not come to rest", Severity.WARN)


def _through_hoses(computed: Computed, check: Check) -> Iterator[Finding]:
    gas = computed.ledger.get(CHECK_GAS_TIME(check=check.id))
    alarms = computed.ledger.get(CHECK_ALARMS_WITHIN(check=check.id))
    lost = _later(computed, HOSE_DRAW_TIME, gas)
    shown_late = {pair: figure for pair, figure in _later(computed, HOSE_WAIT, gas).items() if pair not in lost}
    mute = _later(computed, HOSE_DRAW_TIME, alarms)
    for stated, late, why, severity in (
        (gas, lost, "shut off before it is through the hose, gas proves nothing of the sensors", Severity.STOP),
        (gas, shown_late, "the gas is not through the hose and shown", Severity.WARN),
        (alarms, mute, "no alarm can sound by then", Severity.WARN),
    ):
        if stated and late:
            told = {f"{pair} needs {figure.printed}": figure for pair, figure in late.items()}
            yield _finding(check, stated, told, why, severity)


def _later(computed: Computed, needed: Family, stated: Figure | None) -> dict[str, Figure]:
    """By model and area the time that the hose needs, where it is longer than the one stated."""
    return {
        f"{model.name} in {area.name}": figure
        for area in computed.program.areas.values()
        for model in computed.program.models_in(area)
        if stated is not None
        and (figure := computed.ledger.get(needed(area=area.id, model=model.id)))
        and figure.amount > stated.amount
    }


def _slowest(computed: Computed, model: Model) -> Figure | None:
    keys_of = (MODEL_T90(model=model.id, sensor=position.sensor.value) for position in model.positions)
    figures = (figure for figure in map(computed.ledger.get, keys_of) if figure is not None)
    return max(figures, key=lambda figure: magnitude(figure.amount, "s"), default=None)


def _finding(check: Check, stated: Figure, late: dict[str, Figure], why: str, severity: Severity) -> Finding:
    at = "at the end of the hose" if check.through_hose else "at the inlet"
    return Finding(
        rule=ID,
        severity=severity,
        message=f"{check.name}, gas {at}: {stated.label.partition(': ')[2] or 'how long'} {stated.printed}, but {why}: "
        f"{short_list(list(late))}.",
        where=check.where if check.gas_time is None else check.gas_time.where,
        figures=keys(stated, *late.values()),
        source="29 CFR 1910.146 App. B(3); arithmetic",
        mend="give gas for longer, or give it at the inlet and prove the hose by its flow block",
        subject="page:checks",
    )
