"""Flammable and oxygen alarms to which no rule of the place and activities gives a number, so nothing was compared.

Source: the rules table; some places ask for a risk assessment instead of a number.
"""

from collections.abc import Iterator

from builder.base.finding import Finding, Severity
from builder.figures.computed import Computed
from builder.findings.alarms import (
    SETPOINTS,
    PlacedAlarm,
    area_references,
    limit_keys,
    placed_alarms,
    places,
    volume_keys,
)
from builder.findings.wording import keys, short_list
from builder.program.sensors import FLAMMABLE, OXYGEN

ID = "alarm-without-rule"
SEVERITIES = (Severity.NOTE,)


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``note`` for flammable gas and one for oxygen, for all alarms and areas together."""
    program, ledger = computed.program, computed.ledger
    groups: dict[str, list[PlacedAlarm]] = {}
    for placed in placed_alarms(program, ledger):
        judged = placed.channel == FLAMMABLE or (placed.channel == OXYGEN and placed.alarm.name in ("low", "high"))
        if judged and not (limit_keys(placed, ledger) or volume_keys(placed, ledger)):
            groups.setdefault(placed.channel, []).append(placed)
    for channel, group in groups.items():
        gas = "flammable gas" if channel == FLAMMABLE else channel
        alarms = short_list(list(dict.fromkeys(placed.alarm.name for placed in group)))
        yield Finding(
            rule=ID,
            severity=Severity.NOTE,
            message=f"Nothing checks the alarms of {gas} ({alarms}): no rule of the place and the activities there has "
            f"a number for them. Areas: {places(group)}.",
            where=group[0].alarm.value.where,
            figures=keys(*(placed.figure for placed in group)),
            source="table of rules, place "
            + ", ".join(sorted({program.place_of(placed.area).value for placed in group})),
            mend="check that these areas name all their activities; else each setpoint's reason must stand by itself",
            subject=SETPOINTS,
            touches=area_references(group),
        )
