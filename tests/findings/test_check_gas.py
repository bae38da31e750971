"""Strength and kind of check gas, timers and batteries, at the very edges."""

from __future__ import annotations

import pytest

from tests.each import each

CYL, CHECKS, AREAS, MODELS = "cylinders.yaml", "checks.yaml", "areas.yaml", "models.yaml"
PUBLISHED = (CHECKS, "    ratio: {from: 0.01, to: 1000}\n", "")
ALARMS_ALONE = (CHECKS, "      hydrogen-sulfide: {absolute: 2 ppm}\n", "")
"""No reading of hydrogen sulfide is judged."""
SULFIDE = "{gas: hydrogen-sulfide, value: 25 ppm, uncertainty: 5 %}"
METHANE = "value: 2.2 %vol, uncertainty: 2 %, label: 50 %LEL, label-basis: iec-60079-20-1-2010"
OXYGEN = "      - {gas: oxygen, value: 18 %vol, uncertainty: 2 %}\n      - {gas: hydrogen-sulfide"
WARN, MISSING = "warn bump-ratio", "warn window-missing"


def sulfide(value):
    return CYL, SULFIDE, f"{{gas: hydrogen-sulfide, value: {value} ppm, uncertainty: 0 %}}"


def methane(value):
    return CYL, METHANE, f"value: {value} %vol, uncertainty: 0 %"


def oxygen(value):
    return CYL, OXYGEN, OXYGEN.replace("18 %vol, uncertainty: 2 %", f"{value} %vol, uncertainty: 0 %")


SOUND = sulfide(8)


@each(
    ("changes", "expected"),
    [
        # BG RCI FAQ 2.9: 1.2 to 2.0 times the highest alarm, which stands at 5 ppm
        ((ALARMS_ALONE, sulfide("6")), [MISSING]),
        ((ALARMS_ALONE, sulfide("5.99")), [WARN, MISSING]),
        ((ALARMS_ALONE, sulfide("10")), [MISSING]),
        ((ALARMS_ALONE, sulfide("10.1")), [WARN, MISSING]),
        # the same question and ISEA's statement: a test may be judged by what is shown, as a share of the gas applied
        ((sulfide("5.99"),), [WARN]),
        ((sulfide("10.1"),), []),
        # flammable gas: 60 %LEL of 4.4 %vol is 2.64 %vol; 1.2 times 9 %LEL is 0.4752 %vol
        ((SOUND, methane("2.64")), []),
        ((SOUND, methane("2.65")), [WARN]),
        # beyond the full scale of 100 %LEL, 4.4 %vol of IEC 60079-20-1, no display follows
        ((SOUND, methane("4.4")), [WARN]),
        ((SOUND, methane("4.41")), ["stop bump-ratio", "stop value-implausible"]),
        ((SOUND, methane("0.4752")), []),
        ((SOUND, methane("0.475")), [WARN]),
        # oxygen: from 0.9 to below 1 times the low alarm of 20 %vol
        ((SOUND, oxygen("18")), []),
        ((SOUND, oxygen("17.9")), [WARN]),
        ((SOUND, oxygen("19.99")), []),
    ],
)
def test_published_ratios(told, changes, expected):
    assert told(PUBLISHED, *changes) == expected


@pytest.mark.parametrize(("ratio", "expected"), [("{from: 2, to: 5}", [WARN]), ("{from: 2, to: 6}", [])])
def test_a_ratio_of_the_sites_own_holds_for_flammable_gas_too(told, ratio, expected):
    """50 %LEL is 5.6 times the high alarm of 9 %LEL."""
    assert told((CHECKS, "{from: 0.01, to: 1000}", ratio)) == expected


@pytest.mark.parametrize(("value", "expected"), [("100", []), ("101", ["stop bump-ratio"])])
def test_no_ratio_of_the_sites_own_reaches_beyond_the_full_scale(told, value, expected):
    """Of 100 ppm, as the model states."""
    assert told(sulfide(value)) == expected


def test_beyond_the_full_scale_no_ratio_is_offered_as_the_cure(found):
    [stop] = [one for one in found(sulfide("101")) if one.rule == "bump-ratio"]
    assert "ratio" not in stop.mend
    assert "full scale" in stop.source


FIRST = "    certificate: invented\n    balance: air\n    components:\n      - {gas: methane"
NITROGEN = (CYL, FIRST, FIRST.replace("balance: air", "balance: nitrogen"))
NO_OXYGEN = (CYL, OXYGEN, "      - {gas: hydrogen-sulfide")
STOP = "stop catalytic-without-oxygen"


def test_a_catalytic_sensor_needs_oxygen_in_its_gas(told):
    assert told(NITROGEN) == []
    assert STOP not in told(NO_OXYGEN)
    assert STOP in told(NITROGEN, NO_OXYGEN)
    assert STOP not in told(NITROGEN, NO_OXYGEN, ("inventory.yaml", "    cylinder: c-1\n", ""))


PUMPED = "    log: {capacity: 84 h, download-every: 7 days}\n"
PIT = "    temperature: 15 °C\n"


@pytest.mark.parametrize(
    ("within", "expected"), [("90 s", []), ("1.5 min", []), ("89 s", ["warn lone-worker-too-long"])]
)
def test_timers_together(told, within, expected):
    timers = (MODELS, PUMPED, PUMPED + "    lone-worker: {motionless: 60 s, warning: 30 s}\n")
    assert told(timers, (AREAS, PIT, PIT + f"    rescue-within: {within}\n")) == expected


@each(
    ("at_cold", "temperature", "expected"),
    [
        # 14 h at 20 °C, 6 h at 0 °C: 12 h, the shift, at 15 °C
        ("6 h", "15 °C", []),
        ("6 h", "14 °C", ["warn runtime-short"]),
        ("5.9 h", "15 °C", ["warn runtime-short"]),
        ("6 h", "30 °C", []),
    ],
)
def test_batteries_in_the_cold(told, at_cold, temperature, expected):
    battery = "    battery: {runtime: 14 h}\n" + PUMPED
    cold = (MODELS, battery, battery.replace("14 h", f"14 h, at-cold: {at_cold}", 1))
    assert told(cold, (AREAS, PIT, f"    temperature: {temperature}\n")) == expected
