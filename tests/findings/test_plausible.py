"""Slips of the hand are not taken in silence: values nobody has, reviews to come, rows that stand twice.

The bounds are common practice without a published source, wide enough for whatever is sold and worn. The highest town
lies at about 5,100 m (La Rinconada), the lowest dry land at about -430 m (shore of the Dead Sea), both from memory.
"""

from __future__ import annotations

from datetime import date

import pytest

from tests.each import each
from tests.findings.conftest import SOUND

MODELS, SITE, INVENTORY, AREAS = "models.yaml", "site.yaml", "inventory.yaml", "areas.yaml"
T90 = "resolution: 1 ppm, t90: 30 s"
RUNTIME = "battery: {runtime: 14 h}\n    log"


def of(rule, findings):
    return [(one.severity.value, one.where.file) for one in findings if one.rule == rule]


@each(
    ("change", "count"),
    [
        ((MODELS, T90, T90.replace("30 s", "10 min")), 0),
        ((MODELS, T90, T90.replace("30 s", "601 s")), 1),
        ((MODELS, T90, T90.replace("30 s", "15 min")), 1),
        ((SITE, "altitude: 100 m", "altitude: 5500 m"), 0),
        ((SITE, "altitude: 100 m", "altitude: 5501 m"), 1),
        ((SITE, "altitude: 100 m", "altitude: 8500 m"), 1),
        ((SITE, "altitude: 100 m", "altitude: -430 m"), 0),
        ((MODELS, RUNTIME, RUNTIME.replace("14 h", "200 h")), 0),
        ((MODELS, RUNTIME, RUNTIME.replace("14 h", "900 h")), 1),
        ((MODELS, "flow: 0.5 L/min", "flow: 50 L/min"), 1),
        ((MODELS, RUNTIME, RUNTIME.replace("14 h", "1.5 h")), 0),
        ((MODELS, RUNTIME, RUNTIME.replace("14 h", "0.5 h")), 1),
        ((MODELS, "bore: 3 mm", "bore: 3 m"), 1),
        ((MODELS, "bore: 3 mm", "bore: 1.5 mm"), 0),
        ((MODELS, "bore: 3 mm", "bore: 0.5 mm"), 1),
        ((AREAS, "    carry: [pumped]\n", "    carry: [pumped]\n    hose: 0.5 m\n"), 0),
        ((AREAS, "    carry: [pumped]\n", "    carry: [pumped]\n    hose: 120 m\n"), 1),
        ((SITE, "shift: 12 h", "shift: 24 h"), 0),
        ((SITE, "shift: 12 h", "shift: 25 h"), 1),
    ],
)
def test_a_value_beyond_what_there_is_stops(change, count, found):
    assert of("value-implausible", found(change, rules={"value-implausible"})) == [("stop", change[0])] * count


POOL, PUMP, HOSE = (
    "    carry: [pumped]\n",
    "pump: {flow: 0.5 L/min, longest-hose: 30 m}",
    "hose: {bore: 3 mm, length: 10 m}",
)
PUMP_OF = "pump: {{flow: {} L/min, longest-hose: {} m, flow-block: {} s}}"
LOG, ONE_CELL = "log: {capacity: 84 h", "    battery: {runtime: 14 h}\n    works-between: {from: -20 °C"
ONE_CELL_OF = ONE_CELL.replace("{runtime: 14 h}", "{{runtime: {} h}}").replace("{from", "{{from")
LONE = "lone-worker: {{motionless: {} s, warning: 2 s}}\n    log: {{capacity: {} h"
CELLS = "      - {position: 2, sensor: oxygen-cell, full-scale: 30 %vol, resolution: 0.1 %vol, t90: 12 s}\n"
CELLS += "    alarm-fires: at-or-above\n    battery: {runtime: 14 h}"
BEAD = "    minimum-oxygen: 10 %vol\n    life: 36 months"
BOTTLE = "5 %}\n    volume: 1.6 L\n    pressure: 34 bar\n    minimum-pressure: 1.7 bar\n    flow: 0.5 L/min"
BOTTLED = "5 %}}\n    volume: {} L\n    pressure: 34 bar\n    minimum-pressure: 1.7 bar\n    flow: {} L/min"
WAITS = "alarms: {{latching: words, latches: true, delay: {} s, ways: [light]}}\n    log: {{capacity: 84 h"
PERSON = "people:\n  - {{id: kd, name: x, role: x, may: [calibration], from: 2026-01-01, until: {}, assessed-by: x}}\n"
CERTIFICATE = 'lot: "1"\n    expires: 2027-06-30'
CERTIFIED = 'lot: "1"\n    certified-on: {}\n    expires: 2027-06-30'
METHANE = "  - id: methane\n"
OVERRIDDEN = (
    "  - id: methane\n    overrides:\n"
    "      lel: {{value: {} %vol, reason: x, source: x}}\n"
    "      ionisation-energy: {{value: {} eV, reason: x, source: x}}\n"
)
EDGES = (
    # file, what stands there, what stands there instead; then the bounds and what lies just beyond each
    (SITE, "altitude: 100 m\n  temperature: 15 °C", "pressure: {} kPa\n  temperature: {} °C", (50, -50), (49, -51)),
    (SITE, "altitude: 100 m\n  temperature: 15 °C", "pressure: {} kPa\n  temperature: {} °C", (110, 60), (111, 61)),
    (SITE, "altitude: 100 m", "altitude: {} m", (-450,), (-451,)),
    (SITE, "reference-temperature: 25 °C", "reference-temperature: {} °C", (15,), ("14.9",)),
    (SITE, "reference-temperature: 25 °C", "reference-temperature: {} °C", (30,), ("30.1",)),
    (SITE, "shift: 12 h", "shift: {} h", (1,), ("0.9",)),
    (AREAS, "    temperature: 15 °C\n", "    temperature: {} °C\n    depth: {} m\n", (-60, "0.5"), (91, "500.1")),
    (AREAS, "    temperature: 15 °C\n", "    temperature: {} °C\n    depth: {} m\n", (90, 500), (91, 501)),
    ("cylinders.yaml", BOTTLE, BOTTLED, (80, 10), (81, 11)),
    ("cylinders.yaml", BOTTLE, BOTTLED, ("0.5", "0.5"), ("80.1", "10.1")),
    (AREAS, POOL, POOL + "    hose: {} m\n", (100,), (101,)),
    (MODELS, PUMP, PUMP_OF, (5, 100, 120), (6, 101, 121)),
    (MODELS, PUMP, PUMP_OF, ("0.5", "0.5", "0.5"), ("5.1", "100.1", "120.1")),
    (MODELS, HOSE, "hose: {{bore: {} mm, length: {} m}}", (1, "0.5"), ("0.9", 101)),
    (MODELS, HOSE, "hose: {{bore: {} mm, length: {} m}}", (20, 100), (21, 101)),
    (MODELS, LOG, LONE, (5, 1), (4, "0.9")),
    (MODELS, LOG, LONE, (600, 20_000), (601, 20_001)),
    (MODELS, T90, "resolution: 1 ppm, t90: {} s", (1,), ("0.9",)),
    (MODELS, ONE_CELL, ONE_CELL_OF, (1,), ("0.9",)),
    (MODELS, CELLS, "    alarm-fires: at-or-above\n    battery: {{runtime: {} h}}", (30_000,), (30_001,)),
    ("sensors.yaml", BEAD, "    minimum-oxygen: {} %vol\n    life: {} days", (10, 30), ("9.9", 29)),
    ("sensors.yaml", BEAD, "    minimum-oxygen: {} %vol\n    life: {} days", (21, 3660), ("21.1", 3661)),
    ("checks.yaml", "gas-time: 60 s", "gas-time: {} s", (1,), ("0.9",)),
    (MODELS, LOG, WAITS, (5,), (6,)),
    (MODELS, LOG, WAITS, ("0.5",), ("5.1",)),
    ("people.yaml", "", PERSON, ("2026-01-02",), ("2026-01-01",)),
    ("people.yaml", "", PERSON, ("2031-01-05",), ("2031-01-06",)),  # 1830 days, and one more
    ("cylinders.yaml", CERTIFICATE, CERTIFIED, ("2027-06-29",), ("2027-06-30",)),
    ("cylinders.yaml", CERTIFICATE, 'lot: "1"\n    expires: {}', ("2031-11-29",), ("2031-11-30",)),  # as above
    ("checks.yaml", "gas-time: 60 s", "gas-time: {} s", (900,), (901,)),
    # methane: 4.4 %vol by IEC 60079-20-1, 5 %vol by NFPA 497; 12.61 eV by NIST
    ("gases.yaml", METHANE, OVERRIDDEN, ("2.2", "12.31"), ("2.1", "12.3")),
    ("cylinders.yaml", "methane, value: 2.2 %vol", "methane, value: {} %vol", ("4.4",), ("4.41",)),
    ("gases.yaml", METHANE, OVERRIDDEN, ("6.25", "12.91"), ("6.26", "12.92")),
)  # fmt: skip


@each(("file", "old", "new", "bounds", "beyond"), EDGES)
def test_each_value_may_reach_its_bounds_and_not_pass_them(file, old, new, bounds, beyond, found):
    assert of("value-implausible", found((file, old, new.format(*bounds)), rules={"value-implausible"})) == []
    assert of("value-implausible", found((file, old, new.format(*beyond)), rules={"value-implausible"})) == [
        ("stop", file)
    ] * len(beyond)


def test_whoever_has_such_a_thing_answers_for_it(found):
    answer = "accepted:\n  - {rule: value-implausible, about: model:pumped, reason: a buoy with its own panel,"
    answer += " by: A. Person, on: 2026-11-02, review: 2027-05-01}\n"
    change = (MODELS, RUNTIME, RUNTIME.replace("14 h", "900 h"))
    assert of("value-implausible", found(change, ("accepted.yaml", "", answer), whole=True)) == [("warn", MODELS)]


@pytest.mark.parametrize(("day", "count"), [("2026-11-25", 0), ("2026-11-26", 1), ("2062-06-01", 1)])
def test_a_review_to_come_is_told(day, count, found):
    findings = found((SITE, "reviewed: 2026-06-01", f"reviewed: {day}"), as_of=date(2026, 11, 25))
    assert of("review-in-future", findings) == [("warn", SITE)] * count


BUMPED = "cylinder: c-1\n    last: {bump: 2026-11-20"
LOT = 'lot: "1"'
STATION = """stations:
  - {{id: box, name: Box, location: Bench, models: [pumped], inlets: [{{inlet: 1, cylinder: c-1, set-to: "1"}}],
     software: invented, leak-test: {{every: 7 days, last: {day}}}, log: invented}}
"""
READ = "unit,read-on,sensor,name,value\nd-1,{day},bead,low,5 %LEL\n"


@each(
    ("change", "weights"),
    [
        ((INVENTORY, BUMPED, BUMPED.replace("2026-11-20", "2026-11-25")), []),
        ((INVENTORY, BUMPED, BUMPED.replace("2026-11-20", "2026-11-26")), ["stop"]),
        ((INVENTORY, BUMPED, BUMPED.replace("2026", "2062")), ["stop"]),
        ((INVENTORY, BUMPED, f"sensors: [{{sensor: bead, fitted: 2026-12-01}}]\n    {BUMPED}"), ["warn"]),
        ((INVENTORY, BUMPED, f"battery: 2026-12-01\n    {BUMPED}"), ["warn"]),
        (("cylinders.yaml", LOT, f"{LOT}\n    measured: 2026-11-25"), []),
        (("cylinders.yaml", LOT, f"{LOT}\n    measured: 2026-11-26"), ["warn"]),
        (("stations.yaml", "", STATION.format(day="2026-11-25")), []),
        (("stations.yaml", "", STATION.format(day="2026-11-26")), ["stop"]),
        (("readback/r.csv", "", READ.format(day="2026-11-25")), []),
        (("readback/r.csv", "", READ.format(day="2027-11-20")), ["warn"]),
    ],
)
def test_what_was_done_on_a_day_to_come_is_told(change, weights, found):
    findings = found(change, as_of=date(2026, 11, 25))
    assert of("done-in-future", findings) == [(weight, change[0]) for weight in weights]


@each(("reading", "count"), [("100", 0), ("100.1", 1), ("5000", 1), ("-5000", 1), ("", 0)])
def test_a_reading_that_no_display_shows_is_told(reading, count, found):
    """The bead of the sound site is read up to 100 %LEL."""
    rows = f"unit,time,kind,sensor,as-found,result\nd-1,2026-11-20T06:00Z,bump-test,bead,{reading},fail\n"
    assert (
        of("reading-beyond-scale", found(("records/r.csv", "", rows), rules={"reading-beyond-scale"}))
        == [("warn", "records/r.csv")] * count
    )


def test_readings_of_one_sensor_beyond_its_scale_are_told_once_with_their_lines(found):
    row = "d-1,2026-11-{}T06:00Z,bump-test,bead,500,fail\n"
    rows = "unit,time,kind,sensor,as-found,result\n" + row.format(20) + row.format(21)
    (told,) = found(("records/r.csv", "", rows), rules={"reading-beyond-scale"})
    assert [where.line for where in told.lines] == [2, 3]


HEAD = "unit,time,kind,sensor,as-found,result,by,note\n"
ROW = "{unit},2026-11-20T06:00Z,bump-test,bead,50,pass,,{note}\n"


@pytest.mark.parametrize(
    ("second", "count"),
    [
        (ROW.format(unit="{unit}", note="again"), 1),
        (ROW.format(unit="{unit}", note="").replace(",50,", ",51,"), 0),
        (ROW.format(unit="{unit}", note="").replace("06:00Z", "06:01Z"), 0),
        (ROW.format(unit="{unit}", note="").replace("2026-11-20T06:00Z", "2026-11-20T07:00+01:00"), 1),
    ],
    ids=["same", "other reading", "other time", "same time of another zone"],
)
def test_a_row_that_stands_twice_is_told_whatever_its_note(second, count, found):
    text = (SOUND / INVENTORY).read_text(encoding="utf-8")
    unit = text.split("id: ")[1].split("\n")[0].strip()
    rows = HEAD + ROW.format(unit=unit, note="") + second.replace("{unit}", unit)
    assert (
        of("record-doubled", found(("records/rounds.csv", "", rows), rules={"record-doubled"}))
        == [("warn", "records/rounds.csv")] * count
    )


# ---- clocks ----------------------------------------------------------------------

CALENDAR = ("calendar.yaml", "", "zone: America/Denver\nworking-days: [mon, tue, wed, thu, fri]\n")
"""America/Denver is seven hours behind UTC in winter and six in summer (IANA time zone database)."""


@pytest.mark.parametrize(
    ("times", "lines"),
    [
        (("2026-11-20T06:00-07:00", "2026-07-20T06:00-06:00"), []),
        (("2026-11-20T06:00-06:00", "2026-07-20T06:00-06:00"), [2]),
        (("2026-11-20T06:00Z", "2026-07-20T06:00Z"), [3]),
        (("2026-11-20T06:00Z", "2026-07-20T06:00-07:00"), [2, 3]),
    ],
    ids=["as it was", "summer in winter", "both in UTC, told once", "two offsets"],
)
def test_times_of_another_zone_are_told(times, lines, found):
    rows = "unit,time,kind,result\n" + "".join(f"d-1,{time},inspection,pass\n" for time in times)
    findings = found(CALENDAR, ("records/r.csv", "", rows), rules={"time-of-another-zone"})
    assert [(one.severity.value, one.where.file, one.where.line) for one in findings] == [
        ("warn", "records/r.csv", line) for line in lines
    ]


def test_a_map_of_another_zone_is_told_by_its_rows(found):
    rows = ("records/r.csv", "", "unit,time,kind,result\nd-1,2026-11-20T06:00,inspection,pass\n")
    for zone, count in (("America/Chicago", 1), ("America/Denver", 0)):
        mapped = ("maps.yaml", "", f"records: [{{files: r.csv, zone: {zone}}}]\n")
        assert (
            of("time-of-another-zone", found(CALENDAR, rows, mapped, rules={"time-of-another-zone"}))
            == [("warn", "records/r.csv")] * count
        )


def test_without_a_calendar_no_zone_is_known(found):
    rows = ("records/r.csv", "", "unit,time,kind,result\nd-1,2026-11-20T06:00Z,inspection,pass\n")
    assert of("time-of-another-zone", found(rows, rules={"time-of-another-zone"})) == []


# ---- words -----------------------------------------------------------------------

SPANISH = (SITE, "languages: [en]", "languages: [en, es]")
LOW = ("setpoints.yaml", "low: {set: 5 ppm, protects: niosh.ceiling, action: Leave.}")
OTHER = ("setpoints.yaml", "low: {set: 5 %LEL, action: Leave.}")


def saying(place, english, spanish):
    """A change of the action at one alarm."""
    file, old = place
    return (file, old, old.replace("action: Leave.", f'action: {{en: "{english}", es: "{spanish}"}}'))


@each(
    ("low", "other", "count"),
    [
        (("Report it.", "Avise."), ("Leave.", "Salga."), 0),
        (("Leave.", "Salga."), ("Leave.", "Salga."), 0),
        (("Report it.", "Salga."), ("Leave.", "Salga."), 1),
        (("Report it.", "salga. "), ("Leave.", "Salga."), 1),
        (("Leave.", "Salga."), ("leave. ", "Salga."), 0),
    ],
)
def test_a_translation_of_another_action_stops(low, other, count, found):
    findings = [
        one for one in found(SPANISH, saying(LOW, *low), saying(OTHER, *other)) if one.rule == "action-of-another"
    ]
    assert [one.severity.value for one in findings] == ["stop"] * count
    for one in findings:
        assert one.where.file == "setpoints.yaml"
        assert "setpoints.yaml:" in one.message
