"""A regulator that does not serve the units it is kept for.

A pump draws through a regulator of demand flow, or one whose fixed flow is at least its own: with less it draws air
from beside, or stops. A diffusion unit needs gas pushed at it, which a demand flow regulator never does.

Source: common practice; the manuals of instrument and regulator.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import COMMON_PRACTICE, keys, short_list
from builder.program.cylinders import DEMAND_FLOW, FIXED_FLOW, Cylinder
from builder.program.inventory import CHECKED_STATES, Unit
from builder.program.keys.families import CYLINDER_FLOW, MODEL_PUMP_FLOW
from builder.program.models import Model

ID = "regulator-mismatch"
SEVERITIES = (Severity.STOP, Severity.WARN)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``stop`` for each cylinder and model that its regulators do not serve, one ``warn`` where none is named."""
    program = computed.program
    unknown: list[Cylinder] = []
    for cylinder in program.bottles:
        users = _users(computed, cylinder)
        if users and not cylinder.regulators:
            unknown.append(cylinder)
            continue
        for model_id, units in users.items():
            why = _why_not(cylinder, program.models[model_id])
            if why:
                yield _finding(computed, cylinder, program.models[model_id], units, why)
    if unknown:
        yield Finding(
            rule=ID,
            severity=Severity.WARN,
            message=f"No regulator is named for {short_list([cylinder.id for cylinder in unknown])}: whether gas "
            "reaches the units checked with it is not known.",
            where=unknown[0].where,
            source=COMMON_PRACTICE,
            mend="say which are kept for it: regulator: [demand-flow, fixed-flow]",
            subject=f"cylinder:{unknown[0].id}",
            touches=tuple(f"cylinder:{cylinder.id}" for cylinder in unknown),
        )


def _users(computed: Computed, cylinder: Cylinder) -> dict[str, list[Unit]]:
    """Units in use or spare that are checked with it, by model."""
    made: dict[str, list[Unit]] = {}
    for unit in computed.program.units.values():
        if unit.state.value in CHECKED_STATES and unit.checked_with(cylinder.id):
            made.setdefault(unit.model.value, []).append(unit)
    return made


def _why_not(cylinder: Cylinder, model: Model) -> str:
    """Why no regulator of a cylinder serves a model; empty where one does."""
    kinds = {given.value for given in cylinder.regulators}
    if model.pump is None:
        return "" if FIXED_FLOW in kinds else "a demand flow regulator gives no gas to a unit without a pump"
    if DEMAND_FLOW in kinds or magnitude(cylinder.flow.value, "L/min") >= magnitude(model.pump.flow.value, "L/min"):
        return ""
    return f"its fixed flow of {cylinder.flow.text} is below the {model.pump.flow.text} that the pump draws"


def _finding(computed: Computed, cylinder: Cylinder, model: Model, units: list[Unit], why: str) -> Finding:
    return Finding(
        rule=ID,
        severity=Severity.STOP,
        message=f"Cylinder {cylinder.id} on {model.name}: {why}; checked with it: "
        f"{short_list([unit.id for unit in units])}.",
        where=cylinder.regulators[0].where,
        figures=keys(
            computed.ledger.get(CYLINDER_FLOW(cylinder=cylinder.id)),
            computed.ledger.get(MODEL_PUMP_FLOW(model=model.id)),
        ),
        source=COMMON_PRACTICE,
        mend="keep a regulator of the other kind for it, or of more flow",
        subject=f"cylinder:{cylinder.id}",
        touches=(f"cylinder:{cylinder.id}", *(f"unit:{unit.id}" for unit in units)),
    )
