"""Who may change settings: how the code is kept is told, the code itself never; two places that say a setting agree."""

from __future__ import annotations

from datetime import date

import pytest

from builder.base.errors import ContentError
from builder.program.settings_access import may_be_code, names_code
from tests.each import each

READ = "readback/set.csv"
HEAD = "unit,read-on,sensor,name,value\n"
PEOPLE = """people:
  - {{id: kd, name: x, role: calibrator, may: [setting-change], from: 2025-01-01, until: {}, assessed-by: x}}
"""


def access(changed="2026-09-01", how="in the safe", every=""):
    more = f", change-every: {every}" if every else ""
    return (
        "setpoints.yaml",
        "setpoints:",
        f"access: {{kept-by: Foreman, how: {how}, changed: {changed}{more}}}\nsetpoints:",
    )


@pytest.fixture(name="told")
def _told(found):
    def judge(rule, *changes):
        return found(*changes, as_of=date(2026, 11, 25), rules={rule})

    return judge


# common practice, no source: a code is changed by its day, and when somebody who knew it leaves
@each(
    ("changes", "expected"),
    [
        ((), ["note"]),  # nobody says how it is kept
        ((access(),), []),
        ((access(changed="2025-11-25", every="12 months"),), []),  # good on its last day
        ((access(changed="2025-11-24", every="12 months"),), ["warn"]),
        ((access(), ("people.yaml", "", PEOPLE.format("2026-11-25"))), []),  # may still change them today
        ((access(), ("people.yaml", "", PEOPLE.format("2026-11-24"))), ["warn"]),
        ((access(changed="2026-11-25"), ("people.yaml", "", PEOPLE.format("2026-11-24"))), []),  # changed since
    ],
)
def test_the_way_into_the_settings_is_kept(told, changes, expected):
    assert [one.severity.value for one in told("access-not-kept", *changes)] == expected


@each("how", ["safe, 4471", "code is in my head", "pin: blue", "A7x9q"])
def test_a_text_that_may_be_the_code_is_refused_and_not_said_again(told, how):
    with pytest.raises(ContentError) as refused:
        told("access-not-kept", access(how=f'"{how}"'))
    assert "may be the access code" in str(refused.value)
    assert how not in str(refused.value)


@pytest.mark.parametrize("how", ["sealed envelope in the safe", "key cabinet 12, signed out", "with two roles"])
def test_words_are_no_code(how):
    assert not may_be_code(how)


@each(("name", "expected"), [("Access code", True), ("lock-pin", True), ("PASSWORD", True), ("Pump", False)])
def test_heads_of_codes(name, expected):
    assert names_code(name) is expected


def test_a_code_in_an_export_is_told_and_its_value_goes_nowhere(found):
    findings = found((READ, "", HEAD + "d-1,2026-11-20,,Access code,4471\n"), whole=True)
    (told,) = [one for one in findings if one.rule == "access-code-written"]
    assert told.where.line == 2
    assert not [one for one in findings if "4471" in one.message]
    assert not [one for one in findings if one.rule == "setting-not-known"]


def test_a_record_says_that_a_code_was_changed_and_not_what_it_is(told):
    rows = "unit,time,kind,setting,value,order\nd-1,2026-11-10T08:00Z,setting-change,access code,{},Order 9\n"
    assert told("setting-not-ordered", ("records/s.csv", "", rows.format("changed"))) == []
    with pytest.raises(ContentError, match="an access code in a record"):
        told("setting-not-ordered", ("records/s.csv", "", rows.format("4471")))


LOG = "log: {capacity: 84 h, download-every: 7 days"
MODEL = (
    "models.yaml",
    LOG,
    "alarms: {latching: words, latches: true, delay: 1 s, ways: [light]}\n    " + LOG + ", interval: 30 s",
)


@each(
    ("wanted", "expected"),
    [("log-interval: 30 s", 0), ("log-interval: 0.5 min", 0), ("log-interval: 60 s", 1), ("latching: no", 1),
     ("latching: yes", 0), ("alarm-delay: 0 s", 1), ("firmware: 2", 0)],
)  # fmt: skip
def test_what_is_wanted_and_what_the_model_is_said_to_have_agree(told, wanted, expected):
    # by hand: half a minute is 30 s
    settings = ("setpoints.yaml", "setpoints:", f"settings: [{{{wanted}}}]\nsetpoints:")
    assert len(told("setting-against-model", MODEL, settings)) == expected


@each(
    ("model", "read", "expected"),
    [
        ((), "0 s", []),
        ((), "3 s", ["stop"]),
        ((MODEL,), "1 s", []),
        ((MODEL,), "2 s", ["stop"]),
        ((MODEL,), "0 s", ["warn"]),
    ],
)
def test_an_alarm_that_waits_is_found(told, model, read, expected):
    # common practice, no source: a delay that nobody stated lets gas be there unheard
    row = HEAD + f"d-1,2026-11-20,,alarm-delay,{read}\n"
    assert [one.severity.value for one in told("settings-differ", *model, (READ, "", row))] == expected
