"""What a site sets less safely than the content it extends, and what it leaves out.

The direction of each is plain sense of the trade (common practice, no source): a rising alarm that is higher sounds
later, a low oxygen alarm that is lower sounds later, a check with a longer interval finds a dead sensor later.
"""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from builder.figures.compute import compute
from builder.findings.order import find
from builder.findings.rules.extended import less_safe_than_extended, taken_out

SITES = Path(__file__).parent.parent / "sites" / "overlay"
RULES = (less_safe_than_extended, taken_out)


@pytest.fixture
def judged(tmp_path, program_of):
    """Findings of the two rules of the south site after its files were written; `+` adds to a file."""

    def judge(files, rules=RULES):
        sites = tmp_path / "sites"
        shutil.rmtree(sites, ignore_errors=True)
        shutil.copytree(SITES, sites)
        for name, text in files.items():
            path = sites / "south" / name.removeprefix("+")
            old = path.read_text(encoding="utf-8") if name.startswith("+") else ""
            path.write_text(old + text, encoding="utf-8")
        return list(find(compute(program_of(sites / "south"), date(2026, 11, 25)), rules))

    return judge


def setpoint(entry, areas="all"):
    return {"setpoints.yaml": f"setpoints:\n  - areas: {areas}\n    {entry}\n"}


SHOWN_BY = {"setpoints.yaml": {"page:setpoints"}, "checks.yaml": {"check:bump-test", "check:calibration"}}
"""File -> the pages that print what it says, which are what somebody answers for."""


@pytest.mark.parametrize(
    ("files", "told"),
    [
        (setpoint("channel: flammable\n    low: {true: 6 %LEL}"), "low true is 6 %LEL, higher than 5 %LEL."),
        (setpoint("channel: flammable\n    low: {true: 4 %LEL}"), ""),
        (
            setpoint("channel: oxygen\n    low: {set: 19.0 %vol}", "[pit]"),
            "low set is 19.0 %vol, lower than 19.5 %vol.",
        ),
        (setpoint("channel: oxygen\n    low: {set: 20.0 %vol}", "[pit]"), ""),
        (
            setpoint("channel: oxygen\n    high: {set: 23.5 %vol}", "[pit]"),
            "high set is 23.5 %vol, higher than 23.0 %vol.",
        ),
        (
            setpoint("channel: flammable\n    low: {true: {remove: set below}, set: 5 %LEL}"),
            "low true is taken out (set below), and with it 5 %LEL.",
        ),
        (
            {"checks.yaml": "checks:\n  - {id: bump-test, interval: 14 days, reason: Quiet yard.}\n"},
            "checks bump-test interval is 14 days, higher than each day of use.",
        ),
        ({"checks.yaml": "checks:\n  - {id: calibration, interval: 3 months}\n"}, ""),
        (
            {"checks.yaml": "checks:\n  - {id: bump-test, window: {flammable: {relative: 15 %}}}\n"},
            "checks bump-test window flammable relative is 15 %, higher than 10 %.",
        ),
        ({"checks.yaml": "checks:\n  - {id: bump-test, gas-time: 30 s}\n"}, "gas-time is 30 s, lower than 60 s."),
        (
            {"checks.yaml": "checks:\n  - {id: calibration, guard-band: none}\n"},
            "guard-band is none, in place of cylinder-uncertainty.",
        ),
    ],
)
def test_the_less_safe_side_is_told_and_the_safer_one_is_not(files, told, judged):
    findings = [one for one in judged(files) if one.rule == "less-safe-than-extended"]
    assert [one.severity.value for one in findings] == (["warn"] if told else [])
    assert not told or findings[0].message.endswith(told)
    assert not told or findings[0].message.startswith("Less safe than ../company/")
    assert {one.subject for one in findings} <= SHOWN_BY[next(iter(files))]


def test_an_entry_for_one_area_is_held_against_that_for_all(judged):
    own = "channel: flammable\n    reason: invented\n    low: {true: 7 %LEL, action: Leave.}"
    (low, high) = judged(setpoint(own, "[pit]"), [less_safe_than_extended])
    assert low.message == (
        "Less safe than ../company/setpoints.yaml:5 asks: flammable low is 7 %LEL, higher than 5 %LEL of all areas."
    )
    assert high.message.endswith("flammable high is not set, where all areas have 10 %LEL.")
    assert str(low.where) == "setpoints.yaml:2"


def test_an_entry_for_one_area_is_not_held_against_that_for_another(judged):
    tank = "areas:\n  - id: tank\n    name: Tank\n    activities: [inspection]\n    carry: [two-pumped]\n"
    tank += "    hazards: [{gas: oxygen, risk: both, why: invented}]\n"
    own = "channel: oxygen\n    reason: invented\n    low: {set: 19.0 %vol, action: Leave.}\n"
    own += "    high: {set: 23.0 %vol, action: Leave.}"
    assert judged({"areas.yaml": tank, **setpoint(own, "[tank]")}, [less_safe_than_extended]) == []


def test_what_a_site_itself_sets_for_all_and_for_one_area_is_its_own_affair(judged):
    alarms = "channel: flammable\n    reason: invented\n    low: {{true: {} %LEL, action: Leave.}}\n"
    alarms += "    high: {{true: 10 %LEL, action: Leave.}}"
    both = setpoint(alarms.format(4), "all")["setpoints.yaml"] + f"  - areas: [pit]\n    {alarms.format(5)}\n"
    assert judged({"setpoints.yaml": both}, [less_safe_than_extended]) == []


def test_a_list_that_stands_whole_is_not_compared_in_silence(judged):
    hazards = "areas:\n  - id: pit\n    activities: [hot-work]\n"
    (finding,) = judged({"areas.yaml": hazards}, [less_safe_than_extended])
    assert "stands whole in place of another" in finding.message
    assert finding.message.endswith("1 confined-space-entry.")


def test_somebody_can_answer_for_it_and_what_is_left_out_is_noted(judged):
    gone = "areas:\n  - id: pit\n    hazards:\n      - {gas: propane, remove: no bottles here}\n"
    answer = (
        "accepted:\n  - {rule: less-safe-than-extended, about: 'area:pit', reason: No bottles., by: A. Writer, "
        "on: 2026-11-01, review: 2027-05-01}\n"
    )
    warn, note = judged({"areas.yaml": gone, "accepted.yaml": answer})
    assert (warn.severity.value, note.severity.value) == ("warn", "note")
    assert "A. Writer answers for it since" in warn.message
    assert note.message == (
        "areas.yaml areas pit hazards propane of ../company/areas.yaml:8 does not hold here; "
        "it is taken out: no bottles here."
    )
