"""Settings beside what the site wants, changes of them with their orders, and units that went to stricter areas."""

from __future__ import annotations

from datetime import date

import pytest

from tests.each import each

AS_OF = date(2026, 11, 25)
READ = "readback/set.csv"
HEAD = "unit,read-on,sensor,name,value\n"
D1 = ("inventory.yaml", 'serial: "1"\n    state: in-use\n    area: pit', 'serial: "1"\n    area: pit')
WANTED = (
    "setpoints.yaml",
    "setpoints:",
    "settings:\n  - {latching: yes, log-interval: 1 min, clock: 60 s}\nsetpoints:",
)


@pytest.fixture(name="told_of")
def _told_of(found):
    """Severity and line of one rule's findings after changes of the small sound site."""

    def judge(rule, *changes, as_of=AS_OF):
        return [(one.severity.value, one.where.line) for one in found(*changes, as_of=as_of, rules={rule})]

    return judge


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ("d-1,2026-11-20,,latching,yes", []),
        ("d-1,2026-11-20,,latching,no", ["stop"]),  # an alarm that lets go by itself
        ("d-1,2026-11-20,,log-interval,60 s", []),
        ("d-1,2026-11-20,,log-interval,2 min", ["warn"]),
        ("d-1,2026-11-20,,clock,-60 s", []),
        ("d-1,2026-11-20,,clock,-61 s", ["warn"]),
        ("d-1,2026-11-20,,firmware,2.4", []),  # nothing is wanted of it
        ("d-1,2026-11-20,bead,on,yes", []),
        ("d-1,2026-11-20,bead,on,no", ["stop"]),  # the channel is off: a hazard is not seen
    ],
)
def test_settings_beside_what_is_wanted(told_of, row, expected):
    told = told_of("settings-differ", WANTED, (READ, "", HEAD + row + "\n"))
    assert told == [(severity, 2) for severity in expected]


@each(
    ("changed", "expected"),
    [
        ("2026-11-21T07:00Z,setting-change,bead,low,50 %LEL", "stop"),
        ("2026-11-20T07:00Z,setting-change,bead,low,50 %LEL", None),  # what the unit itself says of that day counts
        ("2026-11-21T07:00Z,setting-change,bead,low,5 %LEL", None),
        ("2026-11-21T07:00Z,setting-change,bead,low,fifty", "warn"),  # nobody can compare it
        ("2027-11-21T07:00Z,setting-change,bead,low,50 %LEL", None),  # is told as to come
    ],
)
def test_a_change_on_record_since_a_setting_was_read_is_held_against_the_handbook(found, changed, expected):
    """The first flammable alarm is 5 %LEL there; whoever set it to 50 %LEL by an order left it so."""
    rows = HEAD + "d-1,2026-11-20,bead,low,5 %LEL\n"
    records = ("records/r.csv", "", f"unit,time,kind,sensor,setting,value\nd-1,{changed}\n")
    findings = found((READ, "", rows), records, rules={"settings-differ"})
    assert [(one.severity.value, str(one.where)) for one in findings] == (
        [(expected, "records/r.csv:2")] if expected else []
    )
    assert all("was set to" in one.message for one in findings)


def test_without_a_word_of_the_site_a_clock_may_be_five_minutes_out(told_of):
    # common practice, no source
    rows = HEAD + "d-1,2026-11-20,,clock,300 s\nd-2,2026-11-20,,clock,301 s\n"
    assert told_of("settings-differ", (READ, "", rows)) == [("warn", 3)]


def test_what_a_model_says_of_itself_is_wanted_without_saying_it_twice(told_of):
    log = "log: {capacity: 84 h, download-every: 7 days"
    model = ("models.yaml", log, log + ", interval: 30 s")
    rows = HEAD + "d-1,2026-11-20,,log-interval,30 s\n"
    assert told_of("settings-differ", model, (READ, "", rows)) == []
    assert told_of("settings-differ", model, (READ, "", rows.replace("30 s", "60 s"))) == [("warn", 2)]


def test_a_setting_nobody_knows_is_kept_and_told_once(told_of):
    rows = HEAD + "d-1,2026-11-20,,backlight,10 s\nd-2,2026-11-20,,backlight,5\n"
    assert told_of("setting-not-known", (READ, "", rows)) == [("note", 2)]


def test_a_change_between_two_readings_needs_its_record_and_its_order(told_of):
    rows = HEAD + "d-1,2026-11-01,,log-interval,60 s\nd-1,2026-11-20,,log-interval,30 s\n"
    assert told_of("setting-not-ordered", (READ, "", rows)) == [("warn", 3)]
    change = "unit,time,kind,setting,value,order\nd-1,2026-11-10T08:00Z,setting-change,log-interval,30 s,{}\n"
    assert told_of("setting-not-ordered", (READ, "", rows), ("records/s.csv", "", change.format("Order 7"))) == []
    assert told_of("setting-not-ordered", (READ, "", rows), ("records/s.csv", "", change.format(""))) == [("warn", 2)]
    for day, told in (("10-31", 1), ("11-01", 0), ("11-20", 0), ("11-21", 1)):  # the days of both readings count
        dated = ("records/s.csv", "", change.format("Order 7").replace("11-10", day))
        assert told_of("setting-not-ordered", (READ, "", rows), dated) == [("warn", 3)] * told


DEN = (
    ("areas.yaml", "  - id: shop\n", """  - id: den
    name: Den
    activities: [confined-space-entry]
    carry: [pumped]
    hazards: [{gas: methane, why: invented}]
    temperature: 15 °C
  - id: shop
"""),
    ("setpoints.yaml", "  - areas: all\n", """  - areas: [den]
    channel: flammable
    reason: invented
    low: {set: 3 %LEL, action: Leave.}
    high: {set: 9 %LEL, action: Leave.}
  - areas: all
"""),
)  # fmt: skip
HERE = "unit,from,state,area\nd-1,2026-10-01T08:00Z,in-use,pit\nd-1,2026-11-02T08:00Z,in-use,den\n"
BACK = HERE + "d-1,2026-11-10T08:00Z,in-use,pit\n"
CHANGE = "unit,time,kind,sensor,setting,value,order\nd-1,2026-11-0{}T08:10Z,setting-change,bead,low,3 %LEL,Order 8\n"


# common practice, no source: the strictest of the areas, or set anew on record; oxygen is set alike in both
@pytest.mark.parametrize(
    ("moves", "more", "expected"),
    [
        (HERE, (), [("stop", 3)]),
        (BACK, (), [("warn", 3)]),
        (HERE, ((READ, "", HEAD + "d-1,2026-10-10,bead,low,5 %LEL\n"),), [("stop", 3)]),
        (HERE, ((READ, "", HEAD + "d-1,2026-10-10,bead,low,3 %LEL\n"),), []),  # as strict from before
        (HERE, ((READ, "", HEAD + "d-1,2026-11-10,bead,low,5 %LEL\n"),), []),  # told as a setting that differs
        (BACK, ((READ, "", HEAD + "d-1,2026-11-10,bead,low,5 %LEL\n"),), []),  # on its last day there
        (BACK, ((READ, "", HEAD + "d-1,2026-11-11,bead,low,3 %LEL\n"),), [("warn", 3)]),  # after it was there
        (HERE, (("records/s.csv", "", CHANGE.format(2)),), []),
        (HERE, (("records/s.csv", "", CHANGE.format(1)),), [("stop", 3)]),  # before it went
    ],
)
def test_a_unit_in_a_stricter_area_is_set_anew_on_record(told_of, moves, more, expected):
    assert told_of("settings-not-reset", *DEN, D1, ("movements/m.csv", "", moves), *more) == expected


# of too little oxygen the higher setpoint sounds earlier, of too much the lower one; the pit has 20 and 23 %vol
@each(
    ("low", "high", "expected"),
    [
        ("20.2", "23", ["low of Oxygen cell 20.2\u00a0%vol"]),
        ("19.8", "23", []),
        ("20", "22.9", ["high of Oxygen cell 22.9\u00a0%vol"]),
        ("20", "23.2", []),
    ],
)
def test_which_oxygen_alarm_is_the_stricter(found, low, high, expected):
    area, (name, old, new) = DEN
    oxygen = (
        f"  - areas: [den]\n    channel: oxygen\n    reason: invented\n    low: {{set: {low} %vol, action: Leave.}}\n"
    )
    oxygen += f"    high: {{set: {high} %vol, action: Leave.}}\n"
    den = (area, (name, old, oxygen + new))
    (told,) = [
        one for one in found(*den, D1, ("movements/m.csv", "", HERE), whole=True) if one.rule == "settings-not-reset"
    ]
    assert [part for part in ("low", "high") if f"{part} of Oxygen cell" in told.message] == [
        one.split()[0] for one in expected
    ]
    assert all(one in told.message for one in expected)


ALSO = (
    "inventory.yaml",
    'serial: "1"\n    state: in-use\n    area: pit',
    'serial: "1"\n    state: in-use\n    area: pit\n    also-in: den',
)


# common practice, no source: on one day nobody sets it anew between two areas, so it carries the strictest of both
@pytest.mark.parametrize(
    ("more", "not_reset", "differ"),
    [
        ((), 1, []),
        (((READ, "", HEAD + "d-1,2026-11-10,bead,low,3 %LEL\n"),), 0, []),
        (((READ, "", HEAD + "d-1,2026-11-10,bead,low,5 %LEL\n"),), 0, [("stop", 2)]),
        ((("records/s.csv", "", CHANGE.format(2)),), 0, []),
        ((("records/s.csv", "", CHANGE.format(2).replace("3 %LEL", "4 %LEL")),), 1, [("stop", 2)]),
    ],
)
def test_a_unit_in_several_areas_on_one_day_carries_the_strictest(told_of, more, not_reset, differ):
    assert [weight for weight, _ in told_of("settings-not-reset", *DEN, ALSO, *more)] == ["stop"] * not_reset
    assert told_of("settings-differ", *DEN, ALSO, *more) == differ


def test_a_unit_that_was_not_set_anew_differs_at_the_next_reading(told_of):
    rows = HEAD + "d-1,2026-11-10,bead,low,5 %LEL\n"
    assert told_of("settings-differ", *DEN, D1, ("movements/m.csv", "", HERE), (READ, "", rows)) == [("stop", 2)]


def test_a_unit_of_a_pool_carries_the_strictest_of_all_areas_it_may_go_to(told_of):
    pool = (
        "inventory.yaml",
        'serial: "1"\n    state: in-use\n    area: pit',
        'serial: "1"\n    state: in-use\n    pool: Rack',
    )
    for value, expected in (("3 %LEL", []), ("5 %LEL", [("stop", 2)])):
        rows = HEAD + f"d-1,2026-11-10,bead,low,{value}\n"
        assert told_of("settings-differ", *DEN, pool, (READ, "", rows)) == expected


def test_the_age_of_a_reading_is_the_sites_and_the_share_is_a_figure(found):
    rows = HEAD + "d-1,2026-05-20,,firmware,2\n"
    age = ("site.yaml", "shift:", "settings-read-every: 6 months\nshift:")
    told = found(age, (READ, "", rows), whole=True)
    (old,) = [one for one in told if one.rule == "settings-read-long-ago"]
    assert old.figures == ("site.settings-read-every", "site.settings-read")
    (missing,) = [one for one in told if one.rule == "settings-missing"]
    assert "Read back in time: 0" in missing.message  # none of 2 within six months of 25 Nov 2026
    assert "(n = 2, units in use)" in missing.message
    fresh = [one for one in found((READ, "", rows), whole=True) if one.rule == "settings-missing"]
    assert "Read back in time: 50" in fresh[0].message  # 1 of 2 within twelve months


def test_a_look_back_names_areas_and_holders(found):
    moves = "unit,from,state,area,holder\nd-1,2026-11-01T08:00Z,in-use,pit,Crew 2\n"
    rows = "unit,time,kind,result\nd-1,2026-11-10T07:00Z,bump-test,pass\nd-1,2026-11-10T08:00Z,use,\n"
    rows += "d-1,2026-11-11T07:00Z,bump-test,fail\n"
    changes = (D1, ("movements/m.csv", "", moves), ("records/r.csv", "", rows))
    said = [one.message for one in found(*changes, whole=True) if one.rule == "look-back"]
    assert said[0].endswith("It was in Pit, with the holder that movements/m.csv:2 names.")
    public = ("site.yaml", "shift:", "public: {people: true}\nshift:")
    said = [one.message for one in found(*changes, public, whole=True) if one.rule == "look-back"]
    assert said[0].endswith("It was in Pit, with Crew 2.")
