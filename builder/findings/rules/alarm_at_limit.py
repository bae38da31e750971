"""An alarm that stands at its limit, or nearer to it than the display may lie off, so that it can sound too late.

The instrument's error is what its sensor states (``error``); it is taken off the limit, after the response factor, and
of too little oxygen it is added. Where no error is stated, what is told is an alarm exactly at its limit.
Source: common practice; an alarm set at the legal value does not protect it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from builder.base.finding import Finding, Severity
from builder.base.where import Where
from builder.figures.computed import Computed
from builder.figures.figure import Figure
from builder.figures.ledger import Ledger
from builder.findings.alarms import (
    SETPOINTS,
    LimitComparison,
    PlacedAlarm,
    area_references,
    comparisons,
    placed_alarms,
    places,
)
from builder.findings.wording import COMMON_PRACTICE, keys
from builder.program.keys.families import SETPOINT_ERROR, SETPOINT_LESS_ERROR, SETPOINT_PROTECTS
from builder.program.sensors import OXYGEN

ID = "alarm-at-limit"
SEVERITIES = (Severity.WARN,)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Near:
    """One alarm without room for the error."""

    placed: PlacedAlarm
    limit: Figure | None
    error: Figure | None
    """``None`` where it is not known."""
    last: Figure | None
    """The last setting that keeps the limit; ``None`` where there is none, or the error is not known.

    The alarm itself where that is made of another limit than the one at which it stands.
    """
    sounds_at: str


def rule(computed: Computed) -> Iterator[Finding]:
    """A ``warn`` for each such alarm that is not beyond its limit, once for all areas in which it is the same."""
    program, ledger = computed.program, computed.ledger
    every = list(comparisons(program, ledger))
    beyond = {compared.placed.figure.key for compared in every if compared.beyond}  # told by alarm-above-limit
    equal = {compared.placed.figure.key: compared for compared in every if compared.equal}
    groups: dict[tuple[Where, str, str], list[_Near]] = {}
    for placed in placed_alarms(program, ledger):
        near = _near(ledger, placed, equal.get(placed.figure.key))
        if near is not None and placed.figure.key not in beyond:
            case = (placed.alarm.value.where, near.sounds_at, near.last.printed if near.last else "")
            groups.setdefault(case, []).append(near)
    for group in groups.values():
        yield _finding(group)


def _near(ledger: Ledger, placed: PlacedAlarm, equal: LimitComparison | None) -> _Near | None:
    """The alarm where it has too little room.

    :param equal: its comparison with a limit at which it stands exactly.
    """
    part = {"area": placed.area.id, "channel": placed.channel, "alarm": placed.alarm.name}
    error, last = ledger.get(SETPOINT_ERROR(**part)), ledger.get(SETPOINT_LESS_ERROR(**part))
    if error is None and equal is None:
        return None
    if last is not None and not _later(placed, last):
        if equal is None:
            return None
        return _Near(placed=placed, limit=equal.limit, error=error, last=placed.figure, sounds_at=equal.sounds_at)
    return _Near(
        placed=placed,
        limit=_limit(ledger, placed, last) or (equal.limit if equal else None),
        error=error,
        last=last,
        sounds_at=equal.sounds_at if equal else f"is set to {placed.figure.printed}",
    )


def _later(placed: PlacedAlarm, last: Figure) -> bool:
    """Whether an alarm sounds later than the last setting that keeps its limit."""
    if placed.channel == OXYGEN and placed.alarm.name == "low":
        return placed.figure.rounded < last.rounded
    return placed.figure.rounded > last.rounded


def _limit(ledger: Ledger, placed: PlacedAlarm, last: Figure | None) -> Figure | None:
    """The limit that the last setting is made of; of an alarm that has none left, the one it protects."""
    asked = (part.figure for part in last.inputs if part.parameter == "limit") if last else iter(())
    return ledger.get(next(asked, SETPOINT_PROTECTS.on(placed.figure.key)))


def _finding(group: list[_Near]) -> Finding:
    near, placed = group[0], group[0].placed
    limits = " and ".join(dict.fromkeys(one.limit.printed for one in group if one.limit is not None))
    words, mend = _words(near)
    alarms = [one.placed for one in group]
    return Finding(
        rule=ID,
        severity=Severity.WARN,
        message=f"{places(alarms)}: the {placed.called} {near.sounds_at}, and its limit is {limits}: {words}",
        where=placed.alarm.value.where,
        figures=keys(*(figure for one in group for figure in (one.placed.figure, one.limit, one.error, one.last))),
        source=COMMON_PRACTICE,
        mend=mend,
        subject=SETPOINTS,
        touches=area_references(alarms),
    )


def _words(near: _Near) -> tuple[str, str]:
    """What is wrong with its room, and how to mend it."""
    if near.error is None:
        told = "no room is left for the instrument's error, which is not known."
        return told, "state the error of the sensor from the manual of the detector, and set the alarm earlier by it"
    if near.last is near.placed.figure:
        told = f"no room is left for the {near.error.printed} that the display may lie off."
        return told, "set the alarm earlier by that much"
    lies = f"the display may lie off by {near.error.printed}, so it can sound too late"
    if near.last is None or near.last.rounded <= 0:
        return f"{lies}, and no setting keeps the limit.", "use a sensor with a smaller error for this limit"
    return f"{lies}. With the error taken off, {near.last.printed} keeps the limit.", f"set it to {near.last.printed}"
