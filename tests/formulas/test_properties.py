"""What holds for every value: exact round trips, order, refused dimensions, printing that errs to safety."""

from __future__ import annotations

import inspect
import itertools
import math
import re
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.base.errors import OutOfRangeError
from builder.base.quantity import DimensionError, Quantity, magnitude, parse_quantity, quantity
from builder.base.rounding import Direction, Rounding, round_to_step
from builder.figures.formulas import acceptance, clock, exposure, flammability, gas, mixtures, oxygen, response
from builder.figures.formulas import sampling as hose
from builder.figures.formulas import stock as bottle
from builder.figures.formulas.conversion import KINDS, convert
from builder.figures.formulas.inputs import exponential, logarithm, power
from builder.figures.formulas.registry import Formula, all_formulas, formula_of
from builder.program.interval import Interval
from tests.each import each
from tests.trust.long import LONG


def holds(**values: st.SearchStrategy[Any]) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """A property of all these values."""
    return lambda test: settings(max_examples=60 if LONG else 15)(given(**values)(test))


def fractions(low: str, high: str) -> st.SearchStrategy[Fraction]:
    return st.fractions(Fraction(low), Fraction(high), max_denominator=10_000)


FACTORS = fractions("0.05", "20")
SHARES = fractions("0", "100")
AIR = {"temperature": quantity(20, "°C"), "pressure": quantity("101.325", "kPa")}
BASIS = {**AIR, "molar_mass": quantity("44.0956", "g/mol"), "lel": quantity("1.7", "%vol")}


@holds(
    start=st.sampled_from(sorted(KINDS)),
    end=st.sampled_from(sorted(KINDS)),
    value=fractions("0", "500"),
    data=st.data(),
)
def test_every_conversion_lands_exactly_where_it_began(start: str, end: str, value: Fraction, data: Any) -> None:
    value = value / 10 if start == "%vol" else value
    there = convert(quantity(value, start), start, end, **BASIS).value
    via = data.draw(st.sampled_from(sorted(KINDS)))
    further = convert(there, end, via, **BASIS).value
    assert magnitude(convert(further, via, start, **BASIS).value, start) == value


@holds(start=st.sampled_from(sorted(KINDS)), end=st.sampled_from(sorted(KINDS)), a=SHARES, b=SHARES)
def test_conversion_keeps_the_order(start: str, end: str, a: Fraction, b: Fraction) -> None:
    first, second = (magnitude(convert(quantity(v, start), start, end, **BASIS).value, end) for v in (a, b))
    assert (first < second) == (a < b)


@each(("start", "end"), list(itertools.product(KINDS, KINDS)))
def test_conversion_names_formulas_that_exist(start: str, end: str) -> None:
    used = convert(quantity(1, start), start, end, **BASIS).formulas
    assert all(formula_of(name).id == name for name in used)
    assert bool(used) == (
        KINDS[start] != KINDS[end] or (KINDS[start] == "volume" and (start == "%vol") != (end == "%vol"))
    )
    assert ("gas.molar-volume" in used) == ((KINDS[start] == "mass") != (KINDS[end] == "mass"))


@pytest.mark.parametrize(
    ("start", "end", "missing"),
    [
        ("ppm", "mg/m3", "molar_mass"),
        ("g/m3", "ppb", "temperature"),
        ("mg/m3", "%vol", "pressure"),
        ("%vol", "%LEL", "lel"),
    ],
)
def test_conversion_assumes_nothing(start: str, end: str, missing: str) -> None:
    rest = {name: value for name, value in BASIS.items() if name != missing}
    with pytest.raises(OutOfRangeError, match="without"):
        convert(quantity(1, start), start, end, **rest)


def test_conversion_refuses_a_value_in_another_unit_and_a_unit_that_is_no_concentration() -> None:
    with pytest.raises(DimensionError):
        convert(quantity(1, "mg/m3"), "ppm", "%vol")
    with pytest.raises(OutOfRangeError, match="unit '%' is no concentration"):
        convert(quantity(1, "ppm"), "ppm", "%")


@holds(limit=fractions("0.1", "100"), factor=FACTORS)
def test_display_and_true_value_undo_each_other(limit: Fraction, factor: Fraction) -> None:
    display = response.display_at_limit(quantity(limit, "%LEL"), quantity(factor, ""))
    assert magnitude(response.true_value(display, quantity(factor, "")), "%LEL") == limit


STEPS = st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 10), Fraction(1, 100)])


@holds(limit=fractions("0.1", "100"), factor=FACTORS, step=STEPS)
def test_rounded_setpoint_is_safe_and_within_a_step(limit: Fraction, factor: Fraction, step: Fraction) -> None:
    exact = magnitude(response.display_at_limit(quantity(limit, "%LEL"), quantity(factor, "")), "%LEL")
    shown = Rounding(direction=Direction.DOWN, why="rising alarm", step=step).apply(exact)
    behind = magnitude(response.true_value(quantity(shown, "%LEL"), quantity(factor, "")), "%LEL")
    assert behind <= limit
    assert limit - behind < step * factor


@each(
    ("limit", "factor", "step", "shown"),
    [
        ("10", "1.9", "1", "5"),
        ("10", "1.9", "0.1", "5.2"),
        ("10", "2", "1", "5"),
        ("19", "1.9", "1", "10"),
        ("1", "1.9", "1", "0"),
    ],
)
def test_setpoint_on_the_edge_of_a_step(limit: str, factor: str, step: str, shown: str) -> None:
    exact = magnitude(response.display_at_limit(quantity(limit, "%LEL"), quantity(factor, "")), "%LEL")
    assert round_to_step(exact, Fraction(step), Direction.DOWN) == Fraction(shown)


@holds(factor=FACTORS, reference=FACTORS)
def test_factor_conventions_and_rebasing_undo_each_other(factor: Fraction, reference: Fraction) -> None:
    one, new = quantity(factor, ""), quantity(reference, "")
    relative = quantity(1 / factor, "")
    assert response.factor_from_relative(relative) == one
    back = quantity(1 / reference, "")
    assert response.rebased_factor(response.rebased_factor(one, new), back) == one
    assert magnitude(response.rebased_factor(new, new), "") == 1


@holds(parts=st.lists(st.tuples(fractions("0.01", "50"), FACTORS), min_size=1, max_size=5))
def test_mixture_factor_turns_the_summed_signals_into_the_true_total(parts: list[tuple[Fraction, Fraction]]) -> None:
    total = sum(true for true, _ in parts)
    reading = sum(true / factor for true, factor in parts)
    shares = [quantity(true / total, "") for true, _ in parts]
    factors = [quantity(factor, "") for _, factor in parts]
    found = magnitude(mixtures.mixture_factor(shares, factors), "")
    assert reading * found == total
    assert min(f for _, f in parts) <= found <= magnitude(mixtures.worst_factor(factors), "")


@holds(true=fractions("1", "50"), unseen=fractions("1", "50"), factor=FACTORS)
def test_a_gas_the_sensor_does_not_see_raises_the_factor(true: Fraction, unseen: Fraction, factor: Fraction) -> None:
    shares = [quantity(part / (true + unseen), "") for part in (true, unseen)]
    found = magnitude(mixtures.mixture_factor(shares, [quantity(factor, ""), None]), "")
    assert true / factor * found == true + unseen


@holds(parts=st.lists(st.tuples(fractions("0.01", "50"), fractions("0.5", "15")), min_size=1, max_size=5))
def test_mixture_limit_lies_between_its_parts_and_at_100_percent(parts: list[tuple[Fraction, Fraction]]) -> None:
    total = sum(part for part, _ in parts)
    shares = [quantity(100 * part / total, "%vol") for part, _ in parts]
    limits = [quantity(lel, "%vol") for _, lel in parts]
    found = magnitude(flammability.mixture_lel(shares, limits), "%vol")
    assert min(lel for _, lel in parts) <= found <= max(lel for _, lel in parts)
    at_limit = [magnitude(share, "%vol") * found / 100 / lel for share, (_, lel) in zip(shares, parts, strict=True)]
    assert sum(at_limit) == 1
    assert sum(magnitude(share, "") for share in mixtures.lel_shares(shares, limits)) == 1


@holds(inert=fractions("0", "80"))
def test_dilution_raises_the_mixture_limit_in_proportion(inert: Fraction) -> None:
    lel = quantity(5, "%vol")
    found = flammability.mixture_lel([quantity(100 - inert, "%vol")], [lel], quantity(inert, "%vol"))
    assert magnitude(found, "%vol") == 500 / (100 - inert)


@holds(a=fractions("25", "200"), b=fractions("25", "200"))
def test_warm_paraffins_burn_at_less(a: Fraction, b: Fraction) -> None:
    first, second = (
        magnitude(flammability.lel_at_temperature(quantity(5, "%vol"), quantity(t, "°C")), "%vol") for t in (a, b)
    )
    assert (first > second) == (a < b)
    assert 0 < first <= 5


@holds(samples=st.lists(fractions("0", "100"), min_size=15, max_size=30))
def test_sliding_average_is_the_largest_of_all_windows(samples: list[Fraction]) -> None:
    log = [quantity(sample, "ppm") for sample in samples]
    windows = [sum(samples[i : i + 15]) / 15 for i in range(len(samples) - 14)]
    found = magnitude(exposure.stel_max(log, quantity(60, "s")), "ppm")
    assert found == max(windows)
    assert found <= magnitude(exposure.peak(log), "ppm")


@holds(level=fractions("0.1", "100"), limit=fractions("0.1", "100"))
def test_time_to_a_limit_fills_exactly_that_limit(level: Fraction, limit: Fraction) -> None:
    if level * 3 >= limit:
        hours = exposure.time_to_twa(quantity(level, "ppm"), quantity(limit, "ppm"))
        assert magnitude(exposure.twa_8h([quantity(level, "ppm")], [hours]), "ppm") == limit
    if level >= limit:
        minutes = exposure.time_to_stel(quantity(level, "ppm"), quantity(limit, "ppm"))
        assert magnitude(minutes, "min") * level == 15 * limit


@holds(share=SHARES, before=fractions("1", "100"))
def test_displacement_and_oxygen_undo_each_other(share: Fraction, before: Fraction) -> None:
    clean = quantity(before, "%vol")
    left = oxygen.after_displacement(quantity(share, "%vol"), clean)
    assert magnitude(oxygen.displacing_gas(left, clean), "%vol") == share


@holds(expected=fractions("1", "100"), half=fractions("0.5", "20"), part=fractions("0", "1"), step=STEPS)
def test_window_rounds_inward_within_a_step(expected: Fraction, half: Fraction, part: Fraction, step: Fraction) -> None:
    wide = acceptance.window(quantity(expected, "ppm"), quantity(half, "ppm"))
    low, high = (magnitude(edge, "ppm") for edge in acceptance.guarded_window(*wide, quantity(half * part, "ppm")))
    assert expected - half <= low <= high <= expected + half
    assert low <= round_to_step(low, step, Direction.UP) < low + step
    assert high - step < round_to_step(high, step, Direction.DOWN) <= high


@holds(display=SHARES, setpoint=SHARES, error=fractions("0", "5"), falling=st.booleans(), at=st.booleans())
def test_alarm_counts_the_error_against_itself(
    display: Fraction, setpoint: Fraction, error: Fraction, falling: bool, at: bool
) -> None:
    trips = acceptance.alarm_trips(
        quantity(display, "%vol"),
        quantity(setpoint, "%vol"),
        fires_at_setpoint=at,
        falling=falling,
        error=quantity(error, "%vol"),
    )
    worst = display + error if falling else display - error
    beyond = worst < setpoint if falling else worst > setpoint
    assert trips == (beyond or (at and worst == setpoint))


@holds(bore=fractions("1", "10"), length=fractions("0", "60"), flow=fractions("0.1", "2"), t90=fractions("1", "120"))
def test_wait_is_never_less_than_any_of_its_parts(
    bore: Fraction, length: Fraction, flow: Fraction, t90: Fraction
) -> None:
    run = quantity(length, "m")
    transit = hose.transit_time(hose.hose_volume(quantity(bore, "mm"), run), quantity(flow, "L/min"))
    wait = magnitude(hose.wait_time(hose.draw_time(transit, run), quantity(t90, "s")), "s")
    assert wait >= magnitude(transit, "s") + t90
    assert wait >= 3 * length + t90
    assert wait <= round_to_step(wait, Fraction(1), Direction.UP) < wait + 1


@holds(depth=fractions("0.1", "60"))
def test_levels_are_never_more_than_four_feet_apart(depth: Fraction) -> None:
    count = magnitude(hose.levels(quantity(depth, "m")), "")
    assert depth / (count - 1) <= Fraction("1.2192")
    assert count == 2 or depth / (count - 2) > Fraction("1.2192")


@holds(volume=fractions("0", "200"), flow=fractions("0.1", "2"), time=fractions("10", "300"))
def test_tests_left_are_covered_and_one_more_is_not(volume: Fraction, flow: Fraction, time: Fraction) -> None:
    count = magnitude(bottle.tests_left(quantity(volume, "L"), quantity(flow, "L/min"), quantity(time, "s")), "")
    assert count * flow * time / 60 <= volume < (count + 1) * flow * time / 60


@holds(tests=st.integers(0, 500), daily=st.integers(1, 60))
def test_run_out_day_is_covered_and_the_next_is_not(tests: int, daily: int) -> None:
    today = date(2026, 11, 25)
    days = (bottle.run_out(quantity(tests, ""), quantity(daily, ""), today) - today).days + 1
    assert days * daily <= tests < (days + 1) * daily


@holds(start=fractions("1", "100"), target=fractions("0.01", "1"), mixing=fractions("1", "10"))
def test_purging_reaches_the_target(start: Fraction, target: Fraction, mixing: Fraction) -> None:
    minutes = clock.purge_time(
        quantity(50, "m3"),
        quantity(600, "m3/h"),
        quantity(mixing, ""),
        quantity(start, "%LEL"),
        quantity(target, "%LEL"),
    )
    left = float(start) * math.exp(-float(magnitude(minutes, "h")) * 12 / float(mixing))
    assert left == pytest.approx(float(target), rel=1e-9)


@holds(value=fractions("0.01", "20"), exponent=fractions("-6", "6"))
def test_irrational_functions_agree_with_binary_floats(value: Fraction, exponent: Fraction) -> None:
    assert float(logarithm(value)) == pytest.approx(math.log(value), rel=1e-12, abs=1e-12)
    assert float(exponential(exponent)) == pytest.approx(math.exp(exponent), rel=1e-12)
    assert float(power(value, exponent)) == pytest.approx(float(value) ** float(exponent), rel=1e-12)


def quantity_arguments() -> list[Any]:
    """Each formula with each of its arguments that has a dimension."""
    cases = []
    for record in all_formulas():
        for name, parameter in inspect.signature(record.function).parameters.items():
            said = re.search(rf"^:param {name}: .*\[(.*)\]$", record.function.__doc__ or "", flags=re.MULTILINE)
            unit = said.group(1) if said else ""
            if (
                "Quantity" in str(parameter.annotation)
                and not unit.startswith("any")
                and record.id.split(".")[0] != "origin"
            ):
                cases.append(pytest.param(record, name, id=f"{record.id}: {name}"))
    return cases


def example_arguments(record: Formula) -> dict[str, Any]:
    """Arguments in range: the docstring's units with a value that fits, taken as small numbers."""
    arguments: dict[str, Any] = {}
    for name, parameter in inspect.signature(record.function).parameters.items():
        said = re.search(rf"^:param {name}: .*\[(.*)\]$", record.function.__doc__ or "", flags=re.MULTILINE)
        assert said, name
        unit = re.split(r", | or ", said.group(1))[0]
        text = FITTING.get(f"{record.id}:{name}") or FITTING.get(unit) or f"1 {unit}"
        kind = str(parameter.annotation)
        if f"{record.id}:{name}" in PLAIN:
            arguments[name] = PLAIN[f"{record.id}:{name}"]
        elif "Interval" in kind:
            arguments[name] = [DAILY] if "Sequence" in kind else DAILY
        elif "Quantity" in kind:
            made: Quantity = quantity(text, "") if unit == "1" else parse_quantity(text)[0]
            arguments[name] = [made] if "Sequence" in kind else made
        elif "date" in kind:
            arguments[name] = [date(2026, 11, 25)] if "Sequence" in kind else date(2026, 11, 25)
        elif "bool" not in kind:
            arguments[name] = PLAIN[name]
    return arguments


DAILY = Interval(count=1, unit="day", text="1 day")
THREE = [quantity(number, "%LEL") for number in (1, 2, 1)]
ON_THREE_DAYS = [date(2026, 11, day) for day in (1, 2, 3)]
PLAIN = {
    "from_unit": "ppm",
    "to_unit": "%LEL",
    "rhythm.working-days:every": Interval(count=1, unit="working-day", text="1 working day"),
    "rhythm.days-of-use:every": Interval(count=1, unit="day-of-use", text="1 day of use"),
    "history.trend:days": ON_THREE_DAYS,
    "history.trend:found": THREE,
    "history.trend:left": THREE,
    "history.control-chart:days": ON_THREE_DAYS,
    "history.control-chart:found": THREE,
    "history.control-chart:left": THREE,
    "life.span-end:first": date(2026, 1, 1),
}
"""Arguments that are no quantities, by name, and those that only several values fit, by formula and name."""
FITTING = {
    "clock.runtime-in-cold:coldest": "-20 °C",
    "1": "1",
    "kPa": "100 kPa",
    "°C": "30 °C",
    "g/mol": "30 g/mol",
    "K": "1 K",
    "vapour.pressure:hottest": "500 K",
    "limits.long-shift:hours": "10 h",
    "exposure.long-shift-factor:hours": "10 h",
    "exposure.stel-max:interval": "15 min",
    "flammability.mixture-lel:fractions": "100 %vol",
    "flammability.mixture-lel:inert": "0 %vol",
    **{
        f"ranges.{name}:{end}": "100 %"
        for name in ("most-explosive", "largest-factor", "lowest-total")
        for end in ("lowest", "highest")
    },
    "oxygen.partial-pressure:vapour": "1 kPa",
    "response.setpoint-display:error": "0.5 %LEL",
    "acceptance.guarded-window:uncertainty": "0 %LEL",
    "days": "1 days",
    "life.span-end:left": "80 %",
}
"""Values in range where 1 is not, by unit or by formula and argument."""


@each("record", [pytest.param(r, id=r.id) for r in all_formulas() if not r.id.startswith("origin.")])
def test_arguments_in_range_are_accepted(record: Formula) -> None:
    assert record.function(**example_arguments(record)) is not None


@each(("record", "name"), quantity_arguments())
def test_a_quantity_of_another_dimension_is_refused(record: Formula, name: str) -> None:
    arguments = example_arguments(record)
    wrong = quantity(1, "kg")
    arguments[name] = [wrong] * len(arguments[name]) if isinstance(arguments[name], list) else wrong
    if name in ("molar_mass", "temperature", "pressure") and "to_unit" in arguments:
        arguments["to_unit"] = "mg/m3"
    with pytest.raises(DimensionError):
        record.function(**arguments)


@each(
    "call",
    [
        lambda: gas.vol_to_lel(quantity(50, "%"), quantity(5, "%vol")),
        lambda: gas.lel_to_vol(quantity(50, "%"), quantity(5, "%vol")),
        lambda: gas.lel_to_vol(quantity(50, "%vol"), quantity(5, "%vol")),
        lambda: response.true_value(quantity(50, "%"), quantity(2, "")),
        lambda: response.true_value(quantity(50, "%LEL"), quantity(2, "%LEL")),
        lambda: response.setpoint_display(quantity(10, "%LEL"), quantity(1, ""), quantity(1, "%")),
        lambda: exposure.twa_8h([quantity(5, "%LEL")], [quantity(1, "h")]),
        lambda: acceptance.alarm_trips(quantity(2, "%vol"), quantity(10, "%LEL")),
        lambda: acceptance.bump_ratio(quantity(25, "ppm"), quantity(20, "mg/m3")),
        lambda: exposure.mixture_index([quantity(1, "mg/m3")], [quantity(1, "ppm")]),
    ],
)
def test_percent_lel_percent_volume_and_plain_percent_never_mix(call: Any) -> None:
    with pytest.raises(DimensionError):
        call()
