"""An alarm that does not stand out of the noise of a place where it is carried.

Source: ISO 7731 asks for 15 dB above the noise when only A-weighted levels are compared; recalled, not read.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.base.quantity import magnitude
from builder.figures.computed import Computed
from builder.findings.wording import keys
from builder.program.keys.families import AREA_NOISE, LOUDNESS_MARGIN, MODEL_LOUDNESS

ID = "alarm-in-noise"
SEVERITIES = (Severity.WARN, Severity.NOTE)
ACCEPTABLE = True
ENOUGH = 15


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each area and model; a ``note`` where the unit shakes as well."""
    program, ledger = computed.program, computed.ledger
    for area in program.areas.values():
        for model in program.models_in(area):
            margin = ledger.get(LOUDNESS_MARGIN(area=area.id, model=model.id))
            if margin is None or model.alarm_modes is None or magnitude(margin.amount, "dB(A)") >= ENOUGH:
                continue
            shakes = any(way.value == "vibration" for way in model.alarm_modes.ways)
            yield Finding(
                rule=ID,
                severity=Severity.NOTE if shakes else Severity.WARN,
                message=f"{area.name}: the alarm of {model.name} stands {margin.printed} above the noise, where "
                f"{ENOUGH} dB(A) are asked for"
                + ("; whoever carries it has to feel it shake." if shakes else ", and it does not shake."),
                where=area.noise.where if area.noise else area.where,
                figures=keys(margin, ledger.get(AREA_NOISE(area=area.id)), ledger.get(MODEL_LOUDNESS(model=model.id))),
                source="ISO 7731, recalled and not read",
                mend="carry a louder unit, wear it where it is felt, or add a sounder",
                subject=f"area:{area.id}",
            )
