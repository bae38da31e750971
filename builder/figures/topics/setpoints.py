"""Alarm setpoints: what the instrument is set to, and what is really there when it sounds."""

from collections.abc import Iterator
from fractions import Fraction

from builder.base.quantity import Quantity, magnitude, quantity, same_dimension
from builder.base.rounding import Direction, Rounding, plain
from builder.base.where import Given
from builder.figures.figure import NO_BREAK_SPACE, Figure
from builder.figures.formulas import limits, origin, response
from builder.figures.ledger import figures_there
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import hazard, hazard_digits
from builder.figures.terms import Term, as_set, constant, exactly, given, of, written
from builder.figures.topics.areas import limit_key
from builder.figures.topics.setpoint_room import ChannelHere, less_error
from builder.program.alarm_words import alarm_of
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.sensors import FLAMMABLE, OXYGEN, VAPOUR, Sensor
from builder.program.setpoints import Alarm
from builder.reference.rules import OF_ALARMS

MARGIN = Rounding(direction=Direction.DOWN, digits=3, why="a margin is never printed larger than it is")
DIGITS = hazard_digits(2)
WORST = "worst of the detectors allowed here"


def compute(recorder: FigureRecorder) -> None:
    """Enter ``setpoint.*`` for every area and channel that has an entry and a detector."""
    for area in recorder.program.areas.values():
        for channel in recorder.program.channels_in(area):
            entry = recorder.program.setpoint(area.id, channel)
            if entry is None:
                continue
            unit, step = display_of(recorder, area, channel)
            place = ChannelHere(area=area, channel=channel, entry=entry, unit=unit, step=step)
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
    fitted = recorder.program.fitted_in(area, channel)
    keys = (keyed.FACTOR(sensor=sensor.id, gas=gas) for _, _, sensor in fitted)
    return max(figures_there(recorder.ledger, keys), key=_amount, default=None)


def seen_hazards(recorder: FigureRecorder, area: Area, channel: str) -> Iterator[tuple[str, Figure]]:
    """Hazards of an area that a channel sees, each with its worst factor."""
    for hazard_here in area.hazards:
        factor = worst_factor(recorder, area, channel, hazard_here.gas.value)
        if factor is not None:
            yield hazard_here.gas.value, factor


def _alarm(recorder: FigureRecorder, place: ChannelHere, alarm: Alarm) -> None:
    key = keyed.SETPOINT(area=place.area.id, channel=place.channel, alarm=alarm.name)
    words = alarm_of(alarm.name, place.channel, channel_name(recorder, place.channel))
    label = f"{words[0].upper()}{words[1:]} in {place.area.name}"
    rounding = place.rounding(alarm.name)
    limit = _limit(recorder, place, alarm, key)
    beside = [given("reason", place.entry.reason)]
    if limit is not None:
        beside.append(of(limit, "limit that it protects", decides=False))
        beside += (of(room, "margin to that limit", decides=False) for room in _margin(recorder, place, alarm, limit))
        room = less_error(recorder, place, alarm.name, limit, _compared_by(recorder, place, alarm))
        if room is not None:
            beside.append(of(room, "last setting with the instrument's error taken off", decides=False))
    asked = written("true value not to be passed" if alarm.true_value else "set to", alarm.value)
    factors = [factor for _, factor in seen_hazards(recorder, place.area, place.channel)]
    if alarm.true_value and factors:
        worst = exactly(max(factors, key=_amount), "largest response factor of the hazards here")
        made = recorder.derived(
            key, label, place.unit, rounding, response.display_at_limit, asked, worst, beside=beside
        )
    else:
        made = recorder.derived(key, label, place.unit, rounding, origin.stated, asked, beside=beside)
    _truth(recorder, place, alarm, made)


def _amount(figure: Figure) -> Quantity:
    return figure.amount


def channel_name(recorder: FigureRecorder, channel: str) -> str:
    """A channel in words: the kind, or the name of its gas."""
    words = {FLAMMABLE: "flammable gas", OXYGEN: "oxygen", VAPOUR: "vapour"}
    return words[channel] if channel in words else recorder.program.gases[channel].name


def _limit(recorder: FigureRecorder, place: ChannelHere, alarm: Alarm, key: str) -> Figure | None:
    """The limit that an alarm protects: the one it names, or the strictest rule of the place; entered before it."""
    if alarm.protects is not None:
        return _named_limit(recorder, place, alarm, alarm.protects, keyed.SETPOINT_PROTECTS.on(key))
    quantity_of_rules = {OXYGEN: f"oxygen-{alarm.name}", FLAMMABLE: FLAMMABLE}.get(place.channel, "")
    keys = (limit_key(place.area.id, quantity_of_rules, kind) for kind in OF_ALARMS)
    return next(figures_there(recorder.ledger, keys), None)


def _named_limit(
    recorder: FigureRecorder, place: ChannelHere, alarm: Alarm, named: Given[str], key: str
) -> Figure | None:
    words = alarm_of(alarm.name, place.channel, channel_name(recorder, place.channel))
    gas, label = _limit_gas(recorder, place, alarm), f"Limit that the {words} protects"
    listed, _, kind = named.value.partition(".")
    limit = recorder.ledger.get(keyed.EXPOSURE_LIMIT(gas=gas, list=listed, kind=kind))
    if limit is not None:
        return recorder.derived(
            key,
            label,
            "ppm",
            limit.rounding,
            origin.published,
            limit,
            beside=[given("named by", named)],
            source=limit.source,
        )
    found = recorder.program.library.limits(recorder.program.gases[gas].entry.id, listed, recorder.as_of).get(kind)
    return None if found is None else recorder.published(key, label, found)


def _margin(recorder: FigureRecorder, place: ChannelHere, alarm: Alarm, limit: Figure) -> list[Figure]:
    """How far the value that the site chose stands on the safe side of the limit; none where units cannot be compared.

    Of a stated display that sees the gas through a factor, what is really there is compared.
    """
    if not same_dimension(alarm.value.value, limit.unit):
        return []
    key = keyed.SETPOINT_MARGIN(area=place.area.id, channel=place.channel, alarm=alarm.name)
    words = alarm_of(alarm.name, place.channel, channel_name(recorder, place.channel))
    label = f"Margin between the {words} and its limit"
    chosen = written("true value not to be passed" if alarm.true_value else "set to", alarm.value)
    step = constant(
        "step of the display",
        quantity(place.step, place.unit),
        f"{plain(place.step)}{NO_BREAK_SPACE}{place.unit}",
        source="coarsest resolution of the detectors allowed here",
    )
    factor = None if alarm.true_value else _compared_by(recorder, place, alarm)
    if factor is not None:
        through = limits.margin_through_factor
        terms = (exactly(limit), chosen, exactly(factor, "largest response factor compared"), step)
        note = "of what is really there when the alarm sounds, not of the display"
        return [recorder.derived(key, f"{label}, true", limit.unit, MARGIN, through, *terms, note=note)]
    falls = constant("too little is the hazard", value=True, source="kind of alarm")
    falling = falls if place.falls(alarm.name) else None
    note = "of the true value that the alarm holds" if alarm.true_value else "of the display"
    return [
        recorder.derived(
            key,
            label,
            limit.unit,
            MARGIN,
            limits.margin,
            limit,
            chosen,
            None if alarm.true_value else step,
            falling,
            note=note,
        )
    ]


def _compared_by(recorder: FigureRecorder, place: ChannelHere, alarm: Alarm) -> Figure | None:
    """The factor through which a stated display is held against a limit; ``None`` where it shows the gas itself."""
    if place.channel == FLAMMABLE:
        found = [factor for _, factor in seen_hazards(recorder, place.area, FLAMMABLE)]
        return max(found, key=_amount, default=None)
    if place.channel == VAPOUR or alarm.protects_gas is not None:
        return worst_factor(recorder, place.area, place.channel, _limit_gas(recorder, place, alarm))
    return None


def _limit_gas(recorder: FigureRecorder, place: ChannelHere, alarm: Alarm) -> str:
    return protected_gas(alarm, place.channel, recorder.program.fitted_in(place.area, place.channel)[0][2])


def protected_gas(alarm: Alarm, channel: str, sensor: Sensor) -> str:
    """Gas whose limit a toxic or vapour alarm keeps: the one it names, else the channel's own, as a sensor shows it."""
    if alarm.protects_gas is not None:
        return alarm.protects_gas.value
    return sensor.shows.value if channel == VAPOUR else channel


def _truth(recorder: FigureRecorder, place: ChannelHere, alarm: Alarm, made: Figure) -> None:
    """What is really there when the alarm sounds, for each hazard that this channel sees through a factor."""
    if place.channel == OXYGEN:
        return
    for gas, factor in seen_hazards(recorder, place.area, place.channel):
        key = keyed.SETPOINT(area=place.area.id, channel=gas, alarm=alarm.name)
        if place.channel in (FLAMMABLE, VAPOUR) and gas not in recorder.program.channels_in(place.area):
            recorder.ledger.alias(key, made.key)
        name = recorder.program.gases[gas].name
        sounds = f"{alarm_of(alarm.name, place.channel, channel_name(recorder, place.channel))} sounds"
        label = f"{name} really there when the {sounds} in {place.area.name}"
        terms = (as_set(made, "setpoint as set"), exactly(factor))
        if place.channel in (FLAMMABLE, VAPOUR):
            truth = keyed.SETPOINT_TRUE if place.channel == FLAMMABLE else keyed.SETPOINT_VAPOUR
            truth_key = truth(area=place.area.id, gas=gas, alarm=alarm.name)
            rounding = hazard(place.step)
            recorder.derived(truth_key, label, place.unit, rounding, response.true_value, *terms, note=WORST)
        _by_volume(recorder, place, alarm, gas, label, terms)


def _by_volume(
    recorder: FigureRecorder, place: ChannelHere, alarm: Alarm, gas: str, label: str, terms: tuple[Term, Term]
) -> None:
    """The same in ppm, unless the display itself says that; of a flammable alarm also in %vol."""
    key = keyed.SETPOINT_PPM(area=place.area.id, gas=gas, alarm=alarm.name, channel=place.channel)
    if place.channel == FLAMMABLE:
        lel = recorder.ledger.get(keyed.GAS_LEL(gas=gas))
        if lel is not None:
            volume = keyed.SETPOINT_VOLUME(area=place.area.id, gas=gas, alarm=alarm.name)
            for made, unit, words in ((volume, "%vol", "by volume"), (key, "ppm", "in parts per million")):
                asked = (*terms, exactly(lel))
                recorder.derived(made, f"{label}, {words}", unit, DIGITS, response.vol_at_display, *asked, note=WORST)
    elif place.channel != VAPOUR and (gas != place.channel or place.unit != "ppm"):
        recorder.derived(key, label, "ppm", DIGITS, response.true_value, *terms, note=WORST)
