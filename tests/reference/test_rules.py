"""Rules by place and activity: the form of the table, what applies, and which one wins."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from builder.reference.errors import UnknownNameError
from builder.reference.limits import shipped_lists
from builder.reference.rules import (
    ACTIVITIES,
    ANY,
    KINDS,
    QUANTITIES,
    RELATIONS,
    STAY_OUT,
    Rule,
    all_rules,
    law_elsewhere,
    place,
    places,
    rules_for,
    strictest,
)
from builder.reference.tables import read_table
from tests.each import each
from tests.reference.cases import cases
from tests.reference.cases import rows as rows_of

UNITS = {
    "oxygen-low": "%vol",
    "oxygen-high": "%vol",
    "flammable": "%LEL",
    "methane": "%vol",
    "hydrogen-sulfide": "ppm",
    "carbon-monoxide": "ppm",
}

BASE = rules_for("us-general-industry", ["confined-space-entry"])[2]


def rule(**changes: object) -> Rule:
    return replace(BASE, **changes)  # type: ignore[arg-type]


@each("row", read_table("rules").rows.values(), ids=lambda row: row["id"])
def test_each_row_keeps_to_the_vocabulary(row: dict[str, str]) -> None:
    assert row["place"] in places()
    assert row["activity"] in (*ACTIVITIES, ANY)
    assert row["quantity"] in QUANTITIES
    assert row["relation"] in RELATIONS
    assert row["kind"] in KINDS
    assert row["unit"] == UNITS[row["quantity"]]
    assert row["force"] in ("binding", "advisory")
    assert row["read"] in ("yes", "no")
    assert all(row[column] for column in ("value", "says", "citation", "paragraph", "edition"))


def test_low_oxygen_is_forbidden_below_and_all_else_above() -> None:
    for one in all_rules():
        assert (one.relation in ("<", "≤")) == (one.quantity == "oxygen-low"), one.id


@each("case", cases("strictest.csv"))
def test_strictest(case: dict[str, str]) -> None:
    found = strictest(rules_for(case["place"], case["activities"].split()), case["quantity"], case["kind"])
    if not case["value"]:
        assert found is None
        return
    assert found is not None
    assert (found.relation, found.text, "yes" if found.read else "no") == (
        case["relation"],
        case["value"],
        case["read"],
    )


def test_the_sign_tells_what_holds_at_the_value_itself() -> None:
    # 29 CFR 1910.146(b): over 10; 29 CFR 1915.12(b): 10 or more; 29 CFR 1915.12(a)(2): less than 19.5
    cases = {
        ("us-general-industry", "flammable"): (Fraction(10), ">"),
        ("us-shipyard", "flammable"): (Fraction(10), "≥"),
        ("us-shipyard", "oxygen-low"): (Fraction("19.5"), "<"),
    }
    for (where, limited), expected in cases.items():
        rule = strictest(rules_for(where, ["confined-space-entry"]), limited, STAY_OUT)
        assert rule is not None
        assert (rule.value, rule.relation) == expected
    assert rule.cited() == "29 CFR 1915.12 (a)(2)-(3)"


@each(
    ("quantity", "strict", "lax"),
    [
        ("flammable", {"value": Fraction(5)}, {"value": Fraction(10)}),
        ("flammable", {"relation": "≥"}, {"relation": ">"}),
        ("flammable", {"value": Fraction(5), "relation": ">"}, {"value": Fraction(10), "relation": "≥"}),
        ("flammable", {"value": Fraction(5), "binding": False, "read": False}, {"value": Fraction(10)}),
        ("flammable", {"binding": True}, {"binding": False}),
        ("flammable", {"read": True}, {"read": False}),
        ("oxygen-low", {"value": Fraction(20), "relation": "<"}, {"value": Fraction("19.5"), "relation": "<"}),
        ("oxygen-low", {"value": Fraction(20), "relation": "≤"}, {"value": Fraction(20), "relation": "<"}),
        ("oxygen-high", {"value": Fraction(22)}, {"value": Fraction("23.5")}),
    ],
)
def test_order_of_strictness(quantity: str, strict: dict[str, object], lax: dict[str, object]) -> None:
    one, other = rule(quantity=quantity, **strict), rule(quantity=quantity, **lax)
    assert strictest([one, other], quantity, STAY_OUT) is one
    assert strictest([other, one], quantity, STAY_OUT) is one


def test_other_quantities_and_no_rules_at_all_are_none() -> None:
    assert strictest([rule(quantity="flammable")], "oxygen-low", STAY_OUT) is None
    assert strictest([], "flammable", STAY_OUT) is None


def test_rules_of_different_kinds_are_not_compared() -> None:
    # 29 CFR 1926.800(j)(1): test from 5 ppm of hydrogen sulfide, watch without a break above 10, the alarm sounds at 20
    found = rules_for("us-underground-construction", ["inspection"])
    alarm, test = (strictest(found, "hydrogen-sulfide", kind) for kind in ("alarm", "test"))
    assert alarm is not None
    assert test is not None
    assert [(one.relation, one.text, one.kind) for one in (alarm, test)] == [("≥", "20", "alarm"), ("≥", "5", "test")]
    kinds = {kind: rule(kind=kind, value=Fraction(value)) for value, kind in enumerate(KINDS, start=1)}
    for kind, one in kinds.items():
        assert strictest(kinds.values(), "flammable", kind) is one


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="no kind of rule is called 'alarms'; nearest: alarm"):
        strictest([], "flammable", "alarms")


def test_rules_of_any_activity_join_those_of_the_activity() -> None:
    found = {one.activity for one in rules_for("us-underground-construction", ["hot-work"])}
    assert found == {ANY, "hot-work"}
    assert {one.activity for one in rules_for("us-underground-construction", [])} == {ANY}
    assert rules_for("us-general-industry", []) == ()


def test_force_and_reading_are_kept() -> None:
    sewer = rules_for("us-general-industry", ["sewer-entry"])
    # 29 CFR 1910.146 Appendix E is not mandatory
    assert [one.binding for one in sewer] == [False] * 4
    assert [one.read for one in rules_for("us-excavation", [])] == [False, False]
    unread = {one.place for one in all_rules() if not one.read}
    assert unread == {"us-excavation", "us-construction-confined", "canada-federal", "ontario", "australia-nsw"}


def test_places_without_numbers_are_offered_with_a_reason() -> None:
    silent = [name for name in places() if not any(one.place == name for one in all_rules())]
    assert set(silent) == {"british-columbia", "united-kingdom", "germany", "us-metal-mine-v-a"}
    assert all("the site" in place(name).note for name in silent)


def test_ids_are_unique_and_vocabulary_is_public() -> None:
    assert len({one.id for one in all_rules()}) == len(all_rules())
    assert ACTIVITIES == ("confined-space-entry", "hot-work", "inspection", "cold-work", "sewer-entry")


@pytest.mark.parametrize(
    ("place_id", "activity", "message"),
    [
        ("us-shipyards", "hot-work", "no place is called 'us-shipyards'; nearest: us-shipyard"),
        ("us-shipyard", "hotwork", "no activity is called 'hotwork'; nearest: hot-work"),
        ("us-shipyard", "any", "no activity is called 'any'"),
    ],
)
def test_unknown_names_are_refused(place_id: str, activity: str, message: str) -> None:
    with pytest.raises(UnknownNameError) as caught:
        rules_for(place_id, [activity])
    assert str(caught.value).startswith(message)


def test_an_unknown_quantity_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="no limited quantity is called 'oxygen'"):
        strictest([], "oxygen", STAY_OUT)


def test_a_place_takes_lists_of_its_own_or_says_that_it_has_none() -> None:
    # 29 CFR 1926.55 and 1915.1000 are the tables of construction and shipyards; 1910.1000 is general industry's
    assert place("us-general-industry").lists == place("us-grain").lists == ("osha",)
    assert place("us-shipyard").lists == ("osha-shipyard",)
    for name in ("us-excavation", "us-construction-confined", "us-underground-construction"):
        assert place(name).lists == ("osha-construction",)
    for name in places():
        assert set(place(name).lists) <= set(shipped_lists())
        assert place(name).lists or re.search(r"not ship|none ships|none is taken", place(name).note), name


def test_a_list_that_is_law_elsewhere_is_known() -> None:
    assert law_elsewhere("us-shipyard") == {"osha", "osha-construction", "uk"}
    assert law_elsewhere("germany") == {"osha", "osha-construction", "osha-shipyard", "uk"}
    assert "niosh" not in {listed for name in places() for listed in law_elsewhere(name)}
    with pytest.raises(UnknownNameError):
        law_elsewhere("us-shipyards")


READ_ONCE = {
    "quebec-construction-any-flammable",
    "us-metal-mine-v-b-any-methane",
    "us-metal-mine-vi-any-methane",
    "us-metal-mine-vi-any-methane-2",
}
"""Numbers of which there is no second reading."""


def test_every_number_of_a_rule_is_what_a_second_reading_has() -> None:
    """The fixture was written from memory of the regulations, apart from the table; each line names its paragraph."""
    read = rows_of("rules-second-reading.csv")
    second = {row["id"]: (row["relation"], Fraction(row["value"]), row["unit"]) for row in read}
    rows = read_table("rules").rows
    numbers = {name: row for name, row in rows.items() if row["value"]}
    assert second == {
        name: (row["relation"], Fraction(row["value"]), row["unit"])
        for name, row in numbers.items()
        if name not in READ_ONCE
    }
    assert {name for name, row in numbers.items() if "read in one copy only" in row["note"]} == READ_ONCE, "printed"
