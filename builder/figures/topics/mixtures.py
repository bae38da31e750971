"""Mixtures that areas name: explosive limit, response factor, corrected readings, additive exposure limit."""

from collections.abc import Iterable
from contextlib import suppress

from builder.base.errors import OutOfRangeError
from builder.figures.figure import Figure
from builder.figures.formulas import flammability, limits, mixtures, response
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart, hazard, hazard_digits, limit_down
from builder.figures.terms import Term, exactly
from builder.figures.topics.mixture_ranges import (
    DIGITS,
    Case,
    factor_term,
    inert,
    lels_of,
    most_explosive,
    on_at_worst,
    total_of,
)
from builder.figures.topics.readings import WHOLE, shown_readings
from builder.figures.topics.setpoints import channel_name, display_of
from builder.program.keys import families as keyed
from builder.program.keys.parts import number_part
from builder.program.sensors import FLAMMABLE, VAPOUR, Sensor

WHOLE_MIXTURE = "of the whole mixture, on the site's LEL basis; an inert part only dilutes"
NOT_ADDITIVE = ("carbon-disulfide", "hydrogen-sulfide")
"""Library ids of gases whose limits do not add with those of hydrocarbons (Coward and Jones, 1952; from memory)."""
DECOMPOSING = ("acetylene", "ethylene-oxide", "hydrazine")
"""Library ids of gases that decompose by themselves, to which the rule does not apply (the same)."""


def compute(recorder: FigureRecorder) -> None:
    """Enter ``mixture.<area>.<mixture>.*``."""
    for area in recorder.program.areas.values():
        for mixture in area.mixtures:
            case = Case(area=area, mixture=mixture)
            _stated(recorder, case)
            _lel(recorder, case)
            for channel in (FLAMMABLE, VAPOUR):
                _channel(recorder, case, channel)
            _limit(recorder, case)


def _parts(recorder: FigureRecorder, case: Case, gases: Iterable[str]) -> list[Term]:
    return [exactly(recorder.ledger[keyed.MIXTURE_PART(**case.named, gas=gas)]) for gas in gases]


def _stated(recorder: FigureRecorder, case: Case) -> None:
    for gas, part in case.mixture.parts.items():
        told = f"of {recorder.program.gases[gas].name} in {case.called}"
        if not case.mixture.ranged:
            recorder.stated(keyed.MIXTURE_PART(**case.named, gas=gas), f"Part {told}", part.lowest, "%")
            continue
        recorder.stated(keyed.MIXTURE_PART_FROM(**case.named, gas=gas), f"Least part {told}", part.lowest, "%")
        recorder.stated(keyed.MIXTURE_PART_TO(**case.named, gas=gas), f"Largest part {told}", part.highest, "%")


def _lel(recorder: FigureRecorder, case: Case) -> None:
    fuels = [gas for gas in case.mixture.parts if not inert(recorder, gas)]
    diluting = [gas for gas in case.mixture.parts if inert(recorder, gas)]
    lels = lels_of(recorder, fuels)
    if lels is None:
        return
    if case.mixture.ranged:
        most_explosive(recorder, case)
    rest = _inert(recorder, case, diluting) if diluting else None
    worst = ["lowest over the ranges of its parts"] if case.mixture.ranged else []
    with suppress(OutOfRangeError):  # so much diluted that there is no limit
        recorder.derived(
            keyed.MIXTURE_LEL(**case.named),
            f"Lower explosive limit of {case.called}",
            "%vol",
            limit_down(DIGITS),
            flammability.mixture_lel,
            _parts(recorder, case, fuels),
            lels,
            rest,
            note="; ".join([WHOLE_MIXTURE, *worst, *_doubts(recorder, fuels)]),
        )


def _inert(recorder: FigureRecorder, case: Case, diluting: list[str]) -> Figure:
    key, label = keyed.MIXTURE_INERT(**case.named), f"Part of {case.called} that does not burn"
    return recorder.derived(key, label, "%", chart(), mixtures.inert_part, _parts(recorder, case, diluting))


def _doubts(recorder: FigureRecorder, fuels: list[str]) -> list[str]:
    """Where the rule for mixtures is known to fail on the dangerous side: said wherever such a part is in it."""
    parts = {recorder.program.gases[gas].entry.id: recorder.program.gases[gas].name for gas in fuels}
    told = [name for gas, name in parts.items() if gas in NOT_ADDITIVE and len(parts) > 1]
    told += [name for gas, name in parts.items() if gas in DECOMPOSING]
    return [f"the true limit can lie below it, because of {name}" for name in told]


def _channel(recorder: FigureRecorder, case: Case, channel: str) -> None:
    fitted = {sensor.id: sensor for _, _, sensor in recorder.program.fitted_in(case.area, channel)}
    if channel == VAPOUR:
        fitted = {name: sensor for name, sensor in fitted.items() if sensor.principle == "photoionisation"}
    if case.mixture.ranged:
        made = [on_at_worst(recorder, case, sensor) for sensor in fitted.values()]
    else:
        strengths = _strengths(recorder, case) if channel == FLAMMABLE else {}
        made = [_on(recorder, case, sensor, strengths) for sensor in fitted.values()]
    found = [figure for figure in made if figure is not None]
    if not found:
        return
    key = keyed.MIXTURE_FACTOR(**case.named, channel=channel)
    label = f"Response factor of {case.called} on the {channel_name(recorder, channel)} channel"
    note = "worst of the detectors allowed here"
    worst = recorder.derived(key, label, "", hazard_digits(DIGITS), mixtures.worst_factor, found, note=note)
    if channel == FLAMMABLE:
        _readings(recorder, case, worst)


def _on(recorder: FigureRecorder, case: Case, sensor: Sensor, strengths: dict[str, Figure]) -> Figure | None:
    """Factor of the mixture on one sensor; a part it does not see adds no signal, which makes the factor larger."""
    flammable = sensor.channel.value == FLAMMABLE
    shares = (
        strengths
        if flammable
        else {gas: recorder.ledger[keyed.MIXTURE_PART(**case.named, gas=gas)] for gas in case.mixture.parts}
    )
    if not shares:
        return None
    found = [factor_term(recorder, sensor, gas) for gas in shares]
    with suppress(OutOfRangeError):  # a sensor that sees no part has no factor
        key = keyed.MIXTURE_FACTOR_ON(**case.named, sensor=sensor.id)
        label = f"Response factor of {case.called} on {sensor.name}"
        note = "parts by their share of the explosive strength" if flammable else "parts by volume"
        return recorder.derived(
            key, label, "", hazard_digits(DIGITS), mixtures.mixture_factor, [*shares.values()], found, note=note
        )
    return None


def _strengths(recorder: FigureRecorder, case: Case) -> dict[str, Figure]:
    """Share of each part that burns in the mixture's total %LEL; nothing where one has no limit."""
    gases = [gas for gas in case.mixture.parts if not inert(recorder, gas)]
    lels = lels_of(recorder, gases)
    if lels is None:
        return {}
    limits_of_parts = [exactly(lel) for lel in lels]
    return {
        gas: recorder.derived(
            keyed.MIXTURE_LEL_SHARE(**case.named, gas=gas),
            f"Share of {recorder.program.gases[gas].name} in the explosive strength of {case.called}",
            "%",
            chart(),
            mixtures.lel_shares,
            _parts(recorder, case, gases),
            limits_of_parts,
            part=number,
        )
        for number, gas in enumerate(gases)
    }


def _readings(recorder: FigureRecorder, case: Case, factor: Figure) -> None:
    _, step = display_of(recorder, case.area, FLAMMABLE)
    for reading in shown_readings(recorder):
        key = keyed.MIXTURE_READING(**case.named, n=number_part(reading.number))
        label = f"True {case.called} when the display shows {reading.printed}"
        recorder.derived(key, label, "%LEL", hazard(step, cap=WHOLE), response.true_value, reading, factor)


def _limit(recorder: FigureRecorder, case: Case) -> None:
    """The total at which the limits of the parts are used up: by each list that has one for every part.

    The order in which a site names its lists decides nothing: the lowest total is the one that counts.
    """
    totals: list[tuple[str, Figure]] = []
    for listed in recorder.program.limit_lists_in(case.area):
        found = {
            gas: recorder.ledger.get(keyed.EXPOSURE_LIMIT(gas=gas, list=listed, kind="twa"))
            for gas in case.mixture.parts
        }
        known = {gas: figure for gas, figure in found.items() if figure is not None}
        if known and all(figure is not None or inert(recorder, gas) for gas, figure in found.items()):
            called = recorder.program.library.limit_list(listed).label
            total = total_of(recorder, case, listed, known)
            totals.append((called, total))
    if totals:
        called, strictest = min(totals, key=lambda one: one[1].number)
        key = keyed.MIXTURE_EQUIVALENT_LIMIT(**case.named)
        label = f"Strictest total of {case.called} at which the limits of its parts are used up together, by {called}"
        note = strictest.note
        recorder.derived(
            key, label, "ppm", limit_down(DIGITS), limits.strictest_total, [total for _, total in totals], note=note
        )
