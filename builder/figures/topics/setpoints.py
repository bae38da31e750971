"""Alarm setpoints: what the instrument is set to, and what is really there when it sounds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from builder.base.quantity import magnitude
from builder.base.rounding import Rounding
from builder.figures.figure import Figure
from builder.figures.formulas import origin, response
from builder.figures.recorder import FigureRecorder, given, of
from builder.figures.roundings import falling_alarm, hazard, hazard_digits, rising_alarm
from builder.program.areas import Area
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR
from builder.program.setpoints import Alarm, Setpoint


@dataclass(frozen=True, slots=True, kw_only=True)
class _ChannelHere:
    """One channel in one area, with the step and unit its detectors share."""

    area: Area
    channel: str
    entry: Setpoint
    unit: str
    step: Fraction


def compute(recorder: FigureRecorder) -> None:
    """Enter ``setpoint.*`` for every area and channel that has an entry and a detector."""
    for area in recorder.program.areas.values():
        for channel in recorder.program.channels_in(area):
            entry = recorder.program.setpoint(area.id, channel)
            if entry is None:
                continue
            unit, step = display_of(recorder, area, channel)
            place = _ChannelHere(area=area, channel=channel, entry=entry, unit=unit, step=step)
            for alarm in entry.alarms.values():
                with recorder.at(alarm.value.where):
                    _alarm(recorder, place, alarm)


def display_of(recorder: FigureRecorder, area: Area, channel: str) -> tuple[str, Fraction]:
    """Unit and coarsest resolution of a channel over the detectors allowed in an area."""
    fitted = recorder.program.fitted_in(area, channel)
    unit = fitted[0][1].unit
    return unit, max(magnitude(position.resolution.value, unit) for _, position, _ in fitted)


def worst_factor(recorder: FigureRecorder, area: Area, channel: str, gas: str) -> Figure | None:
    """The largest response factor of a gas over the allowed detectors' sensors of a channel, or ``None``."""
    found: Figure | None = None
    for _, _, sensor in recorder.program.fitted_in(area, channel):
        factor = recorder.ledger.get(f"response.{sensor.id}.{gas}.factor")
        if factor is not None and (found is None or factor.amount > found.amount):
            found = factor
    return found


def seen_hazards(recorder: FigureRecorder, area: Area, channel: str) -> Iterator[tuple[str, Figure]]:
    """Hazards of an area that a channel sees, each with its worst factor."""
    for hazard_here in area.hazards:
        factor = worst_factor(recorder, area, channel, hazard_here.gas.value)
        if factor is not None:
            yield hazard_here.gas.value, factor


def _alarm(recorder: FigureRecorder, place: _ChannelHere, alarm: Alarm) -> None:
    key = f"setpoint.{place.area.id}.{place.channel}.{alarm.name}"
    word = alarm.name.upper() if alarm.name in {"twa", "stel"} else alarm.name.capitalize()
    label = f"{word} alarm of {channel_name(recorder, place.channel)} in {place.area.name}"
    rounding = _rounding(place, alarm)
    written = given("true value not to be passed" if alarm.true_value else "set to", alarm.value)
    why = given("reason", place.entry.reason)
    factors = [factor for _, factor in seen_hazards(recorder, place.area, place.channel)]
    if alarm.true_value and factors:
        worst = max(factors, key=lambda figure: figure.amount)
        display = response.display_at_limit(alarm.value.value, worst.amount)
        made = recorder.number(
            key,
            label,
            display,
            place.unit,
            rounding,
            response.display_at_limit,
            [written, of(worst, "largest response factor of the hazards here"), why],
        )
    else:
        made = recorder.number(key, label, alarm.value.value, place.unit, rounding, origin.stated, [written, why])
    _protects(recorder, place, alarm, key)
    _truth(recorder, place, alarm, made)


def _rounding(place: _ChannelHere, alarm: Alarm) -> Rounding:
    if place.channel == OXYGEN and alarm.name == "low":
        return falling_alarm(place.step)
    return rising_alarm(place.step)


def channel_name(recorder: FigureRecorder, channel: str) -> str:
    """A channel in words: the kind, or the name of its gas."""
    words = {FLAMMABLE: "flammable gas", OXYGEN: "oxygen", VAPOUR: "vapour"}
    return words[channel] if channel in words else recorder.program.gases[channel].name


def _protects(recorder: FigureRecorder, place: _ChannelHere, alarm: Alarm, key: str) -> None:
    if alarm.protects is None:
        return
    gas = _limit_gas(recorder, place, alarm)
    limit = recorder.ledger.get(f"gas.{gas}.limit.{alarm.protects.value}")
    if limit is None:
        listed, _, kind = alarm.protects.value.partition(".")
        found = recorder.program.library.limits(recorder.program.gases[gas].entry.id, listed, recorder.as_of).get(kind)
        if found is not None:
            recorder.published(f"{key}.protects", f"Limit that the {alarm.name} alarm protects", found)
        return
    recorder.number(
        f"{key}.protects",
        f"Limit that the {alarm.name} alarm protects",
        limit.amount,
        "ppm",
        limit.rounding,
        origin.published,
        [of(limit), given("named by", alarm.protects)],
        source=limit.source,
    )


def _limit_gas(recorder: FigureRecorder, place: _ChannelHere, alarm: Alarm) -> str:
    if alarm.protects_gas is not None:
        return alarm.protects_gas.value
    if place.channel == VAPOUR:
        return recorder.program.fitted_in(place.area, VAPOUR)[0][2].shows.value
    return place.channel


def _truth(recorder: FigureRecorder, place: _ChannelHere, alarm: Alarm, made: Figure) -> None:
    """What is really there when the alarm sounds, for each hazard that this channel sees through a factor."""
    if place.channel not in (FLAMMABLE, VAPOUR):
        return
    ending = "true" if place.channel == FLAMMABLE else "vapour"
    for gas, factor in seen_hazards(recorder, place.area, place.channel):
        key = f"setpoint.{place.area.id}.{gas}.{alarm.name}"
        if gas not in recorder.program.channels_in(place.area):
            recorder.ledger.alias(key, made.key)
        name = recorder.program.gases[gas].name
        sounds = f"{alarm.name} {channel_name(recorder, place.channel)} alarm sounds"
        label = f"{name} really there when the {sounds} in {place.area.name}"
        recorder.number(
            f"{key}.{ending}",
            label,
            response.true_value(made.printed_amount, factor.amount),
            place.unit,
            hazard(place.step),
            response.true_value,
            [of(made, "setpoint as set"), of(factor)],
            note="worst of the detectors allowed here",
        )
        lel = recorder.ledger.get(f"gas.{gas}.lel")
        if place.channel == FLAMMABLE and lel is not None:
            vol = response.vol_at_display(made.printed_amount, factor.amount, lel.amount)
            recorder.number(
                f"{key}.vol",
                f"{label}, by volume",
                vol,
                "%vol",
                hazard_digits(2),
                response.vol_at_display,
                [of(made, "setpoint as set"), of(factor), of(lel)],
            )
