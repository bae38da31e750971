"""Check gas, cylinders and what sensors can see."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.each import each

SET, CYL, AREAS, SENSORS = "setpoints.yaml", "cylinders.yaml", "areas.yaml", "sensors.yaml"
BELOW, MISSING, UNPROVED = "stop bump-gas-below-alarm", "stop bump-gas-missing", "warn bump-gas-missing"
ABOVE = (
    "models.yaml",
    "alarm-fires: at-or-above\n    pump:",
    "alarm-fires: above\n    pump:",
)
POOLED = "    state: in-use\n    area: pit\n    cylinder: c-1\n"
OXYGEN = "      - {gas: oxygen, value: 18 %vol, uncertainty: 2 %}\n      - {gas: hydrogen-sulfide"
WITHOUT_OXYGEN = CYL, OXYGEN, "      - {gas: hydrogen-sulfide"
_BALANCE = 'lot: "1"\n    expires: 2027-06-30\n    certificate: invented\n    balance: '
NITROGEN = CYL, f"{_BALANCE}air", f"{_BALANCE}nitrogen"
SULFIDE = "value: 25 ppm, uncertainty: 5 %}"


def sulfide(value: str, uncertainty: str) -> tuple[str, str, str]:
    return CYL, SULFIDE, f"value: {value}, uncertainty: {uncertainty}}}"


def methane_gas(value: str, uncertainty: str) -> tuple[str, str, str]:
    old = "value: 2.2 %vol, uncertainty: 2 %, label: 50 %LEL, label-basis: iec-60079-20-1-2010"
    return CYL, old, f"value: {value}, uncertainty: {uncertainty}"


def oxygen_gas(value: str, uncertainty: str) -> tuple[str, str, str]:
    return CYL, OXYGEN, OXYGEN.replace("18 %vol, uncertainty: 2 %", f"{value}, uncertainty: {uncertainty}")


@each(
    ("changes", "expected"),
    [
        # the alarm stands at 5 ppm
        ((sulfide("5 ppm", "0 %"),), []),
        ((sulfide("5 ppm", "0 %"), ABOVE), [BELOW]),
        ((sulfide("5.1 ppm", "0 %"), ABOVE), []),
        ((sulfide("5.2 ppm", "5 %"),), [BELOW]),
        ((sulfide("5.3 ppm", "5 %"),), []),
        # the low oxygen alarm stands at 20 %vol, the high one is left out
        # gas at the alarm itself is no longer below it: BG RCI FAQ 2.9 asks for less
        ((oxygen_gas("20 %vol", "0 %"),), ["warn bump-ratio"]),
        ((oxygen_gas("20 %vol", "0 %"), ABOVE), [BELOW, "warn bump-ratio"]),
        ((oxygen_gas("19.9 %vol", "1 %"),), [BELOW]),
        ((oxygen_gas("19.8 %vol", "1 %"),), []),
        # 9 %LEL is the high flammable alarm; the low one at 5 is passed
        ((methane_gas("0.396 %vol", "0 %"),), []),
        ((methane_gas("0.396 %vol", "1 %"),), [BELOW]),
        (((CYL, "      - {gas: hydrogen-sulfide, value: 25 ppm, uncertainty: 5 %}\n", ""),), [MISSING]),
        ((("inventory.yaml", "    cylinder: c-1\n", ""),), [MISSING]),
        (((CYL, "for: [bump, calibration]\n  - id: c-2", "for: [calibration]\n  - id: c-2"),), [MISSING]),
        ((("inventory.yaml", POOLED, "    state: spare\n    area: pit\n"),), []),
        # oxygen may be proved by other means too; nitrogen without any takes its sensor to nothing
        ((WITHOUT_OXYGEN,), [UNPROVED]),
        ((WITHOUT_OXYGEN, NITROGEN), ["stop catalytic-without-oxygen"]),
    ],
)  # fmt: skip
def test_bump_gas(told, changes, expected):
    assert told(*changes) == expected


SECOND = """areas:
  - id: second
    name: Second
    activities: [confined-space-entry]
    carry: [pumped]
    hazards: []
"""


@pytest.mark.parametrize(("place", "expected"), [("area: pit", []), ("pool: Rack", ["cylinders.yaml:10"])])
def test_a_unit_of_a_pool_meets_the_alarms_of_every_area_it_may_enter(found, place, expected):
    entry = """  - areas: [second]
    channel: hydrogen-sulfide
    reason: invented
    low: {set: 24 ppm, protects: niosh.idlh, action: Leave.}
"""
    changes = [
        (AREAS, "areas:\n", SECOND),
        (SET, "setpoints:\n", "setpoints:\n" + entry),
        ("inventory.yaml", POOLED, POOLED.replace("area: pit", place)),
    ]
    findings = [f for f in found(*changes) if f.rule == "bump-gas-below-alarm"]
    assert [str(f.where) for f in findings] == expected
    assert all("25\u00a0ppm" in f.message and "24\u00a0ppm" in f.message for f in findings)


@pytest.mark.parametrize("first", ["methane", "propane"])
def test_gas_that_proves_nothing_is_told_by_its_strongest_part(found, first):
    """By hand, IEC 60079-20-1: 0.1 %vol methane is 0.1 / 4.4 = 2.3 %LEL; 0.01 %vol propane is 0.01 / 1.7 = 0.6 %LEL."""
    value = {"methane": "0.1 %vol", "propane": "0.01 %vol"}
    order = sorted(value, key=first.__ne__)
    lines = [f"{{gas: {gas}, value: {value[gas]}, uncertainty: 2 %}}\n" for gas in order]
    old = "{gas: methane, value: 2.2 %vol, uncertainty: 2 %, label: 50 %LEL, label-basis: iec-60079-20-1-2010}\n"
    told = found((CYL, old, "      - ".join(lines)), rules={"bump-gas-below-alarm"})
    assert [one.where.line for one in told] == [8 + (first != "methane")]


def test_gas_is_not_asked_to_prove_a_high_oxygen_alarm(told):
    only_high = (SET, "    low: {set: 20 %vol, action: Leave.}\n", "")
    assert BELOW not in told(only_high, oxygen_gas("25 %vol", "0 %"))


def test_an_alarm_of_another_channel_does_not_count(told):
    """Hydrogen sulfide on the flammable sensor gives its keys a second meaning; the cell has no high alarm."""
    assert told((SENSORS, "toluene: 2.6", "toluene: 2.6\n        hydrogen-sulfide: 1")) == []


@each(
    ("value", "expected"),
    [
        ("2.09 %vol", []),
        ("2.31 %vol", []),
        ("2.08 %vol", ["stop label-mismatch"]),
        ("2.32 %vol", ["stop label-mismatch"]),
    ],
)
def test_a_label_may_be_rounded_by_five_percent(told, value, expected):
    assert told((CYL, "methane, value: 2.2 %vol", f"methane, value: {value}")) == expected


def test_a_bottle_at_the_pressure_where_it_is_used_no_more_stops(told):
    """By hand: 1.7 bar less 1.7 bar leaves nothing; both bottles are named by units in use."""
    text = "      - {gas: isobutylene, value: 100 ppm, uncertainty: 2 %}"
    whole = (Path(__file__).parent / "sound" / CYL).read_text(encoding="utf-8")
    part = whole[whole.index(text) : whole.index("34 bar", whole.index(text)) + len("34 bar")]
    assert "stop cylinder-empty" in told((CYL, part, part.replace("34 bar", "1.7 bar")))
    assert "stop cylinder-empty" not in told((CYL, part, part.replace("34 bar", "20 bar")))


def test_a_label_on_a_basis_without_that_gas_is_told(told):
    label = (
        "value: 100 ppm, uncertainty: 2 %",
        "value: 100 ppm, uncertainty: 2 %, label: 1 %LEL, label-basis: nfpa-497-2008",
    )
    found = told((CYL, *label), (CYL, "gas: isobutylene", "gas: nitrogen"))
    assert {"warn label-mismatch", "stop lel-basis"} <= set(found)


UNALARMED, AVERAGE = "stop hazard-without-alarm", "warn average-base-differs"
PIT = "      - {gas: oxygen, risk: both, why: invented}\n"


@each(
    ("changes", "expected"),
    [
        (((AREAS, PIT, PIT + "      - {gas: nitrogen, why: invented}\n"),), ["warn oxygen-too-low-for-catalytic"]),
        (((AREAS, PIT, PIT + "      - {gas: nitrogen, why: invented}\n    lowest-oxygen: 12 %vol\n"),), []),
        (((AREAS, PIT, PIT + "      - {gas: ammonia, why: invented}\n"),), ["stop hazard-unseen"]),
        (((AREAS, PIT, PIT + "      - {gas: isobutylene, why: invented}\n"),), ["stop hazard-unseen"]),
        (((SENSORS, "    minimum-oxygen: 10 %vol", "    blind-to: [methane]"),), ["stop hazard-unseen", UNPROVED]),
        (((SET, "    high: {set: 23 %vol, action: Leave.}\n", ""),), ["stop hazard-without-alarm"]),
        (((SET, "    low: {set: 20 %vol, action: Leave.}\n", ""),), ["stop hazard-without-alarm"]),
        # the alarm protects a ceiling, which no average keeps
        (((SET, "low: {set: 5 ppm,", "twa: {set: 5 ppm,"),), [UNALARMED, "stop limit-not-kept", AVERAGE]),
    ],
)  # fmt: skip
def test_hazards(told, changes, expected):
    assert told(*changes) == expected


def test_an_inert_gas_needs_the_oxygen_channel(told):
    """A sensor of another channel that answers to oxygen says nothing of what an inert gas has taken away."""
    cell = "      - {position: 2, sensor: oxygen-cell, full-scale: 30 %vol, resolution: 0.1 %vol, t90: 12 s}\n"
    following = "      - {position: 3, sensor: sulfide-cell"
    changes = [
        ("models.yaml", cell + following, following),
        (SENSORS, "toluene: 2.6", "toluene: 2.6\n        oxygen: 1"),
        (AREAS, PIT, "      - {gas: nitrogen, why: invented}\n"),
    ]
    assert told(*changes) == ["stop hazard-unseen", "warn oxygen-too-low-for-catalytic"]


@each(
    ("lamp", "gas", "expected"),
    [
        ("11.08 eV", "propane", []),
        ("11.07 eV", "propane", ["stop lamp-too-weak"]),
        # ionisation energy of isobutylene, 9.22 eV, is from memory; the gas the display shows counts too
        ("9.22 eV", "", ["warn lamp-too-weak"]),
        ("9.23 eV", "", []),
        # propylene oxide: 9.81 eV read (NIOSH Pocket Guide), 10.22 eV from memory (NIST): the higher decides whether
        # the lamp sees it, and only what was read refuses
        ("10.30 eV", "propylene-oxide", []),
        ("10.22 eV", "propylene-oxide", ["warn lamp-too-weak"]),
        ("9.90 eV", "propylene-oxide", ["warn lamp-too-weak"]),
        ("9.81 eV", "propylene-oxide", ["stop lamp-too-weak"]),
    ],
)
def test_lamps(told, lamp, gas, expected):
    table = (SENSORS, "toluene: 0.5", f"toluene: 0.5\n        {gas}: 2" if gas else "toluene: 0.5")
    gases = ("gases.yaml", "  - id: toluene\n", "  - id: toluene\n  - id: propylene-oxide\n")
    assert told((SENSORS, "lamp: 10.6 eV", f"lamp: {lamp}"), table, gases) == expected


@each(
    ("gas", "factor", "expected"),
    [
        # Firth, Jones and Jones 1973 with IEC limits: about 2.4 for toluene, 0.7 for ammonia; 0.7 to 1.4 of it
        ("toluene: 2.6", "toluene: 0.41", ["warn factor-inverted"]),
        ("toluene: 2.6", "toluene: 1.6", ["warn factor-inverted"]),
        ("toluene: 2.6", "toluene: 1.75", []),
        ("toluene: 2.6", "toluene: 3.3", []),
        ("toluene: 2.6", "toluene: 3.5", ["warn factor-inverted"]),
        ("toluene: 2.6", "hydrogen-sulfide: 0.5", []),
        ("toluene: 2.6", "ammonia: 0.5", []),
    ],
)
def test_inverted_factors(found, gas, factor, expected):
    assert of_factors(found((SENSORS, gas, factor), whole=True)) == expected


def of_factors(findings):
    return [f"{one.severity.value} {one.rule}" for one in findings if one.rule.startswith("factor-")]


@each(
    ("shown", "expected"),
    [
        # common practice, no source; the table says 1.9, so 50 %LEL show 26.3; turned round they would show 95
        ("26 %LEL", []),
        ("21.1 %LEL", []),
        ("32.8 %LEL", []),
        ("20.9 %LEL", ["stop factor-inverted"]),
        ("33.0 %LEL", ["stop factor-inverted"]),
        ("95 %LEL", ["stop factor-inverted"]),
    ],
)
def test_a_table_is_held_against_its_proof_row(found, shown, expected):
    changed = (SENSORS, "there: 50 %LEL, shown: 26 %LEL", f"there: 50 %LEL, shown: {shown}")
    assert of_factors(found(changed, whole=True)) == expected


def test_on_a_lamp_too_the_proof_row_decides(found):
    turned = (SENSORS, "there: 50 ppm, shown: 100 ppm", "there: 50 ppm, shown: 25 ppm")
    (told,) = found(turned, whole=True, rules={"factor-inverted"})
    assert told.severity.value == "stop"
    assert "it showed 25 ppm, which is a factor of 2.0; the table has 0.5" in told.message


def test_a_table_without_a_proof_row_is_told(found):
    row = "      proof:\n        - {gas: propane, there: 50 %LEL, shown: 26 %LEL, source: invented}\n"
    assert of_factors(found((SENSORS, row, ""), whole=True)) == ["warn factor-without-proof"]


LOW = "    temperature: 15 °C\n"
INFRARED = """  - id: infra
    name: Infra
    principle: infrared
    channel: flammable
    shows: methane
    calibrated-with: methane
    life: 60 months
"""


@pytest.mark.parametrize(
    ("lowest", "infrared", "expected"),
    [
        ("10 %vol", False, []),
        ("9.9 %vol", False, ["stop oxygen-too-low-for-catalytic"]),
        ("9.9 %vol", True, ["warn oxygen-too-low-for-catalytic"]),
    ],
)
def test_catalytic_sensors_need_oxygen(told, lowest, infrared, expected):
    changes = [(AREAS, LOW, f"    lowest-oxygen: {lowest}\n")]
    if infrared:
        position = "      - {position: 3, sensor: sulfide-cell"
        added = "      - {position: 4, sensor: infra, full-scale: 100 %LEL, resolution: 1 %LEL, t90: 30 s}\n"
        changes += [(SENSORS, "sensors:\n", "sensors:\n" + INFRARED), ("models.yaml", position, added + position)]
    assert told(*changes) == expected


def test_a_catalytic_sensor_that_states_no_least_oxygen(told):
    found = told((AREAS, LOW, "    lowest-oxygen: 18 %vol\n"), (SENSORS, "    minimum-oxygen: 10 %vol\n", ""))
    assert found == ["warn oxygen-too-low-for-catalytic"]
