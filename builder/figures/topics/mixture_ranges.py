"""Mixtures whose parts are known as ranges: where the explosive limit is lowest, and the worst of the rest."""

from contextlib import suppress

from builder.base.errors import OutOfRangeError
from builder.base.record import dataclass
from builder.figures.figure import Figure
from builder.figures.formulas import limits, ranges
from builder.figures.ledger import figures_there
from builder.figures.recorder import FigureRecorder
from builder.figures.roundings import chart, hazard_digits, limit_down
from builder.figures.terms import Term, absent, exactly
from builder.program.areas import Area
from builder.program.keys import families as keyed
from builder.program.mixtures import Mixture
from builder.program.sensors import FLAMMABLE, Sensor

INERT = ("argon", "carbon-dioxide", "helium", "nitrogen")
"""Library ids of gases that do not burn and only dilute."""
DIGITS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One mixture of one area."""

    area: Area
    mixture: Mixture

    @property
    def named(self) -> dict[str, str]:
        """The parts that all its keys have."""
        return {"area": self.area.id, "mixture": self.mixture.id}

    @property
    def called(self) -> str:
        """The mixture with its area, as labels name it."""
        return f"{self.mixture.name} in {self.area.name}"


def inert(recorder: FigureRecorder, gas: str) -> bool:
    """Whether a part only dilutes."""
    return recorder.program.gases[gas].entry.id in INERT


def lels_of(recorder: FigureRecorder, gases: list[str]) -> list[Figure] | None:
    """Limits of all these gases, or ``None`` where one has none."""
    found = list(figures_there(recorder.ledger, (keyed.GAS_LEL(gas=gas) for gas in gases)))
    return found if found and len(found) == len(gases) else None


def factor_term(recorder: FigureRecorder, sensor: Sensor, gas: str) -> Term:
    """The response factor of a part on a sensor, or that it does not see it."""
    blind = any(named.value == gas for named in sensor.blind_to)
    figure = None if blind else recorder.ledger.get(keyed.FACTOR(sensor=sensor.id, gas=gas))
    if figure is not None:
        return exactly(figure)
    name = recorder.program.gases[gas].name
    return absent(f"response factor of {name} on {sensor.name}", "this sensor does not see it; it adds no signal")


def _ends(recorder: FigureRecorder, case: Case) -> tuple[list[Term], list[Term]]:
    """Both ends of the range of each part."""
    of_parts = [{**case.named, "gas": gas} for gas in case.mixture.parts]
    return (
        [exactly(recorder.ledger[keyed.MIXTURE_PART_FROM(**named)]) for named in of_parts],
        [exactly(recorder.ledger[keyed.MIXTURE_PART_TO(**named)]) for named in of_parts],
    )


def _lel_terms(recorder: FigureRecorder, case: Case) -> list[Term]:
    """The explosive limit of each part, in the order of the parts; none of one that does not burn."""
    terms = []
    for gas in case.mixture.parts:
        figure = None if inert(recorder, gas) else recorder.ledger[keyed.GAS_LEL(gas=gas)]
        name = recorder.program.gases[gas].name
        terms.append(exactly(figure) if figure else absent(f"explosive limit of {name}", "it only dilutes"))
    return terms


def most_explosive(recorder: FigureRecorder, case: Case) -> None:
    """Of ranges: the composition that the explosive limit holds for."""
    ends, lels = _ends(recorder, case), _lel_terms(recorder, case)
    for number, gas in enumerate(case.mixture.parts):
        key = keyed.MIXTURE_PART(**case.named, gas=gas)
        label = f"Part of {recorder.program.gases[gas].name} in {case.called} where its explosive limit is lowest"
        recorder.derived(key, label, "%", chart(), ranges.most_explosive, *ends, lels, part=number)


def on_at_worst(recorder: FigureRecorder, case: Case, sensor: Sensor) -> Figure | None:
    """The largest factor of a mixture of ranges on one sensor."""
    flammable = sensor.channel.value == FLAMMABLE
    fuels = [gas for gas in case.mixture.parts if not inert(recorder, gas)]
    if flammable and lels_of(recorder, fuels) is None:
        return None
    with suppress(OutOfRangeError):  # a composition of which the sensor sees nothing has no factor
        return recorder.derived(
            keyed.MIXTURE_FACTOR_ON(**case.named, sensor=sensor.id),
            f"Response factor of {case.called} on {sensor.name}",
            "",
            hazard_digits(DIGITS),
            ranges.largest_factor,
            *_ends(recorder, case),
            [factor_term(recorder, sensor, gas) for gas in case.mixture.parts],
            _lel_terms(recorder, case) if flammable else None,
            note="largest over the ranges of its parts",
        )
    return None


def total_of(recorder: FigureRecorder, case: Case, listed: str, known: dict[str, Figure]) -> Figure:
    """The total by one list, with the limits of those parts that have one; of ranges the lowest."""
    called = recorder.program.library.limit_list(listed).label
    key = keyed.MIXTURE_LIMIT_IN_LIST(**case.named, list=listed)
    label = f"Total of {case.called} at which the limits of its parts are used up together, by {called}"
    note = "as if all parts harmed alike; a true total in the air, not a displayed one"
    if not case.mixture.ranged:
        parts = [exactly(recorder.ledger[keyed.MIXTURE_PART(**case.named, gas=gas)]) for gas in known]
        allowed = [exactly(figure) for figure in known.values()]
        return recorder.derived(key, label, "ppm", limit_down(DIGITS), limits.mixture_limit, parts, allowed, note=note)
    allowed = [
        exactly(known[gas]) if gas in known else absent(f"limit of {gas}", "it has none and only dilutes")
        for gas in case.mixture.parts
    ]
    return recorder.derived(
        key, label, "ppm", limit_down(DIGITS), ranges.lowest_total, *_ends(recorder, case), allowed, note=note
    )
