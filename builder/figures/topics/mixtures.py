"""Mixtures that areas name: explosive limit, response factor, corrected readings, additive exposure limit."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from fractions import Fraction

from builder.base.errors import OutOfRangeError
from builder.base.quantity import Quantity, magnitude, quantity
from builder.figures.figure import Figure, Input
from builder.figures.formulas import flammability, limits, mixtures, response
from builder.figures.recorder import FigureRecorder, of
from builder.figures.roundings import chart, hazard, hazard_digits, limit_down
from builder.figures.topics.readings import WHOLE, shown_readings
from builder.figures.topics.setpoints import channel_name, display_of
from builder.program.areas import Area
from builder.program.mixtures import Mixture
from builder.program.sensors import FLAMMABLE, VAPOUR, Sensor

INERT = ("argon", "carbon-dioxide", "helium", "nitrogen")
"""Library ids of gases that do not burn and only dilute."""
DIGITS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """One mixture of one area."""

    area: Area
    mixture: Mixture

    @property
    def key(self) -> str:
        return f"mixture.{self.area.id}.{self.mixture.id}"

    @property
    def called(self) -> str:
        return f"{self.mixture.name} in {self.area.name}"


def compute(recorder: FigureRecorder) -> None:
    """Enter ``mixture.<area>.<mixture>.*``."""
    for area in recorder.program.areas.values():
        for mixture in area.mixtures:
            case = _Case(area=area, mixture=mixture)
            _stated(recorder, case)
            _lel(recorder, case)
            for channel in (FLAMMABLE, VAPOUR):
                _channel(recorder, case, channel)
            _limit(recorder, case)


def inert(recorder: FigureRecorder, gas: str) -> bool:
    """Whether a part only dilutes."""
    return recorder.program.gases[gas].entry.id in INERT


def _parts(recorder: FigureRecorder, case: _Case, gases: list[str]) -> list[Input]:
    return [of(recorder.ledger[f"{case.key}.{gas}.part"]) for gas in gases]


def _stated(recorder: FigureRecorder, case: _Case) -> None:
    for gas, part in case.mixture.parts.items():
        recorder.stated(
            f"{case.key}.{gas}.part", f"Part of {recorder.program.gases[gas].name} in {case.called}", part, "%"
        )


def _volumes(case: _Case, gases: list[str]) -> list[Quantity]:
    return [quantity(magnitude(case.mixture.parts[gas].value, "%"), "%vol") for gas in gases]


def _lels(recorder: FigureRecorder, gases: list[str]) -> list[Figure] | None:
    """Limits of all these gases, or ``None`` where one has none."""
    found = [recorder.ledger.get(f"gas.{gas}.lel") for gas in gases]
    return None if None in found or not found else [figure for figure in found if figure is not None]


def _lel(recorder: FigureRecorder, case: _Case) -> None:
    fuels = [gas for gas in case.mixture.parts if not inert(recorder, gas)]
    diluting = [gas for gas in case.mixture.parts if inert(recorder, gas)]
    lels = _lels(recorder, fuels)
    if lels is None:
        return
    rest = sum((magnitude(part, "%vol") for part in _volumes(case, diluting)), Fraction(0))
    with suppress(OutOfRangeError):  # so much diluted that there is no limit
        recorder.number(
            f"{case.key}.lel",
            f"Lower explosive limit of {case.called}",
            flammability.mixture_lel(
                _volumes(case, fuels), [lel.amount for lel in lels], quantity(rest, "%vol") if rest else None
            ),
            "%vol",
            limit_down(DIGITS),
            flammability.mixture_lel,
            [*_parts(recorder, case, [*fuels, *diluting]), *(of(lel) for lel in lels)],
            note="of the whole mixture, on the site's LEL basis; an inert part only dilutes",
        )


def _channel(recorder: FigureRecorder, case: _Case, channel: str) -> None:
    fitted = {sensor.id: sensor for _, _, sensor in recorder.program.fitted_in(case.area, channel)}
    if channel == VAPOUR:
        fitted = {name: sensor for name, sensor in fitted.items() if sensor.principle == "photoionisation"}
    strengths = _strengths(recorder, case) if channel == FLAMMABLE else {}
    made = [_on(recorder, case, sensor, strengths) for sensor in fitted.values()]
    found = [figure for figure in made if figure is not None]
    if not found:
        return
    worst = recorder.number(
        f"{case.key}.{channel}.factor",
        f"Response factor of {case.called} on the {channel_name(recorder, channel)} channel",
        mixtures.worst_factor([figure.amount for figure in found]),
        "",
        hazard_digits(DIGITS),
        mixtures.worst_factor,
        [of(figure) for figure in found],
        note="worst of the detectors allowed here",
    )
    if channel == FLAMMABLE:
        _readings(recorder, case, worst)


def _on(recorder: FigureRecorder, case: _Case, sensor: Sensor, strengths: dict[str, Figure]) -> Figure | None:
    """Factor of the mixture on one sensor; a part it does not see adds no signal, which makes the factor larger."""
    flammable = sensor.channel.value == FLAMMABLE
    shares = strengths if flammable else {gas: recorder.ledger[f"{case.key}.{gas}.part"] for gas in case.mixture.parts}
    if not shares:
        return None
    blind = {named.value for named in sensor.blind_to}
    factors = {gas: recorder.ledger.get(f"response.{sensor.id}.{gas}.factor") for gas in shares if gas not in blind}
    found = [factors.get(gas) for gas in shares]
    with suppress(OutOfRangeError):  # a sensor that sees no part has no factor
        return recorder.number(
            f"{case.key}.on-{sensor.id}.factor",
            f"Response factor of {case.called} on {sensor.name}",
            mixtures.mixture_factor(
                [share.amount for share in shares.values()], [factor.amount if factor else None for factor in found]
            ),
            "",
            hazard_digits(DIGITS),
            mixtures.mixture_factor,
            [*(of(share) for share in shares.values()), *(of(factor) for factor in found if factor is not None)],
            note="parts by their share of the explosive strength" if flammable else "parts by volume",
        )
    return None


def _strengths(recorder: FigureRecorder, case: _Case) -> dict[str, Figure]:
    """Share of each part that burns in the mixture's total %LEL; nothing where one has no limit."""
    gases = [gas for gas in case.mixture.parts if not inert(recorder, gas)]
    lels = _lels(recorder, gases)
    if lels is None:
        return {}
    shares = mixtures.lel_shares(_volumes(case, gases), [lel.amount for lel in lels])
    inputs = [*_parts(recorder, case, gases), *(of(lel) for lel in lels)]
    return {
        gas: recorder.number(
            f"{case.key}.{gas}.lel-share",
            f"Share of {recorder.program.gases[gas].name} in the explosive strength of {case.called}",
            share,
            "%",
            chart(),
            mixtures.lel_shares,
            inputs,
        )
        for gas, share in zip(gases, shares, strict=True)
    }


def _readings(recorder: FigureRecorder, case: _Case, factor: Figure) -> None:
    _, step = display_of(recorder, case.area, FLAMMABLE)
    for reading in shown_readings(recorder):
        recorder.number(
            f"{case.key}.{reading.key.rpartition('.')[2]}",
            f"True {case.called} when the display shows {reading.printed}",
            response.true_value(reading.amount, factor.amount),
            "%LEL",
            hazard(step, cap=WHOLE),
            response.true_value,
            [of(reading), of(factor)],
        )


def _limit(recorder: FigureRecorder, case: _Case) -> None:
    """The total at which the first list with a value for every part is used up."""
    for listed in recorder.program.limit_lists_in(case.area):
        found = {gas: recorder.ledger.get(f"gas.{gas}.limit.{listed}.twa") for gas in case.mixture.parts}
        known = {gas: figure for gas, figure in found.items() if figure is not None}
        if known and all(figure is not None or inert(recorder, gas) for gas, figure in found.items()):
            gases = list(known)
            recorder.number(
                f"{case.key}.equivalent-limit",
                f"Total of {case.called} at which the 8-hour limits of its parts are used up together",
                limits.mixture_limit(
                    [case.mixture.parts[gas].value for gas in gases], [known[gas].amount for gas in gases]
                ),
                "ppm",
                limit_down(DIGITS),
                limits.mixture_limit,
                [*_parts(recorder, case, gases), *(of(known[gas]) for gas in gases)],
                note="as if all parts harmed alike; a true total in the air, not a displayed one",
            )
            return
