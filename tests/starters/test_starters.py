"""Starters: they build at once, claim nothing that only a manual knows, and cannot be released unsigned."""

from __future__ import annotations

import json
import re
from datetime import date
from io import StringIO
from pathlib import Path

import pytest
from chemicals import TWA
from jsonschema import Draft202012Validator

from builder import pipeline
from builder.base.finding import Severity
from builder.cli import run
from builder.reference.library import library
from builder.starters.files import starter_files
from builder.starters.setpoints import lists_for
from builder.starters.trades import BY_ID, KINDS, TRADES
from builder.starters.writing import Wanted
from tests.each import each

DAY = date(2026, 11, 28)
UNCONFIRMED = "default-not-confirmed"


def written(folder: Path, trade: str, **others) -> Path:
    wanted = {"name": "North Works", "place": BY_ID[trade].place, "paper": "A4", "day": DAY} | others
    for name, text in starter_files(Wanted(trade=BY_ID[trade], **wanted)).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def signed(folder: Path) -> Path:
    """A starter of which somebody has entered all gaps, and stands for the rest."""
    for name in gaps(folder):
        path = folder / name
        path.write_text(path.read_text(encoding="utf-8").replace("to be entered", "known"), encoding="utf-8")
    path = folder / "confirm.yaml"
    text = re.sub(r"(    against: .*\n)", rf"\1    by: A. Writer\n    on: {DAY}\n", path.read_text(encoding="utf-8"))
    path.write_text(text, encoding="utf-8")
    return folder


def gaps(folder: Path) -> list[str]:
    """Files that leave open what only the site knows."""
    every = (path for path in sorted(folder.rglob("*")) if path.is_file())
    return [
        path.relative_to(folder).as_posix() for path in every if "to be entered" in path.read_text(encoding="utf-8")
    ]


def stops(folder: Path) -> dict[str, list[str]]:
    """Rule -> what it says, of findings that refuse a release."""
    made: dict[str, list[str]] = {}
    for finding in pipeline.judge(folder, DAY).findings:
        if finding.severity is Severity.STOP:
            made.setdefault(finding.rule, []).append(finding.message)
    return made


@pytest.mark.parametrize("trade", sorted(BY_ID))
def test_a_starter_is_good_content_and_stops_for_nothing_but_what_only_the_site_knows(tmp_path, trade):
    """Vapours beside methane need a factor from the sensor's manual, and a starter has none to give."""
    found = stops(written(tmp_path, trade))
    assert len(found.pop(UNCONFIRMED)) == 9 + len(BY_ID[trade].areas) + len(gaps(tmp_path))
    unseen = found.pop("hazard-unseen", [])
    assert all("no factor for that gas" in text for text in found.pop("limit-missing", []))
    assert found == {}
    gases = {gas.rstrip("+") for area in BY_ID[trade].areas for gas, _ in area.hazards}
    without_factor = gases - {"oxygen", "nitrogen", *(KINDS[name].shows for name in BY_ID[trade].every_channel)}
    assert len({message.rpartition(" sees ")[2] for message in unseen}) == len(without_factor)


def test_once_signed_a_starter_may_be_released(tmp_path):
    assert list(stops(written(tmp_path, "water"))) == [UNCONFIRMED]
    assert stops(signed(tmp_path)) == {}


@pytest.mark.parametrize(("tests", "empty"), [(30, False), (40, True)])
def test_checks_on_record_take_gas_from_the_bottle_of_a_starter(tmp_path, tests, empty):
    """1 L from 30 down to 2 bar is 28 L of about 1 bar; a test of 90 s at 0.5 L/min takes 0.75 L: 37 of them."""
    rows = [f"X1,2026-11-29T{hour:02}:{minute:02}Z,bump-test,mixed-gas,pass" for hour in (6, 7) for minute in range(20)]
    written(tmp_path, "water")
    (tmp_path / "records").mkdir()
    text = "\n".join(["unit,time,kind,cylinder,result", *rows[:tests], ""])
    (tmp_path / "records/r.csv").write_text(text, encoding="utf-8")
    found = pipeline.judge(tmp_path, date(2026, 11, 29)).findings
    assert ("cylinder-empty" in {finding.rule for finding in found}) is empty


def test_a_signature_does_not_fill_what_is_left_open(tmp_path):
    """The number to call, and the pressure at which a rescuer turns back, were printed so."""
    signed(written(tmp_path, "water"))
    for name, key in (("site.yaml", "call"), ("cards/wet-well-rescue.yaml", "turn-back")):
        path = tmp_path / name
        path.write_text(
            path.read_text(encoding="utf-8").replace(f"{key}: known", f"{key}: to be entered"), encoding="utf-8"
        )
    assert stops(tmp_path) == {
        UNCONFIRMED: ["Nobody has entered turn-back here yet.", "Nobody has entered call here yet."]
    }


def test_half_a_signature_is_none(tmp_path):
    written(tmp_path, "water")
    path = tmp_path / "confirm.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "    by: A. Writer\n", encoding="utf-8")
    with pytest.raises(Exception, match="by without on, or on without by"):
        pipeline.judge(tmp_path, DAY)


@pytest.mark.parametrize("gone", ["file", "entry"])
def test_what_nobody_confirmed_stays_a_stop_when_it_is_taken_out_of_the_file(tmp_path, gone):
    path = signed(written(tmp_path, "water")) / "confirm.yaml"
    head, *entries = path.read_text(encoding="utf-8").split("  - what:")
    if gone == "file":
        path.unlink()
    else:
        path.write_text("  - what:".join([head, *entries[1:]]), encoding="utf-8")
    [told] = stops(tmp_path)[UNCONFIRMED]
    assert f"Of {len(entries)} entries" in told
    assert ("has none" if gone == "file" else f"has {len(entries) - 1}:") in told


def test_a_signature_of_a_day_to_come_is_none(tmp_path):
    path = signed(written(tmp_path, "water")) / "confirm.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(str(DAY), "2027-11-28", 1), encoding="utf-8")
    [told] = stops(tmp_path)[UNCONFIRMED]
    assert told.endswith("the day it was confirmed is still to come.")


@pytest.mark.parametrize("place", ["united-kingdom", "germany", "ontario", "us-construction-confined", "singapore"])
def test_a_starter_holds_under_the_rules_of_other_places(tmp_path, place):
    folder = written(tmp_path, "water", place=place)
    assert list(stops(folder)) == [UNCONFIRMED]


@pytest.mark.parametrize("channel", sorted(set(KINDS) - {"flammable", "oxygen", "vapour"}))
def test_first_alarms_stand_at_or_below_a_limit_from_elsewhere(channel):
    """The library ``chemicals`` has the averages over eight hours of Ontario, R.R.O. 1990, Reg. 833."""
    entry = library().gas(channel)
    limit = TWA(entry.cas)
    low, high = (float(text.split()[0]) for text in (KINDS[channel].low, KINDS[channel].high))
    assert low < high
    if limit is not None and limit[1] == "ppm":
        assert low <= limit[0]


def test_both_alarms_for_vapour_stand_below_what_osha_allows_of_benzene_in_a_shift():
    """29 CFR 1910.1028 (c): 1 ppm over eight hours; 5 ppm over 15 minutes."""
    low, high = (float(KINDS["vapour"].low.split()[0]), float(KINDS["vapour"].high.split()[0]))
    assert low < high < 1


# What whoever knows a trade looks for first; the facts are common knowledge of these trades, no source, from memory,
# but for the rules named.
SEEN_IN_TRADES = {
    ("brewery", "fermenting-vessel"): {"oxygen", "carbon-dioxide"},
    ("cold-store", "machine-room"): {"oxygen", "ammonia"},
    ("pulp", "bleach-plant"): {"oxygen+", "chlorine-dioxide", "sulfur-dioxide"},  # oxygen bleaching: too much of it
    ("shipyard", "engine-room"): {"oxygen+", "propane", "carbon-monoxide"},  # 29 CFR 1915.14: 22 %vol
    ("tunnel", "heading"): {  # 29 CFR 1926.800 (j)(1)
        "oxygen", "methane", "carbon-monoxide", "nitrogen-dioxide", "hydrogen-sulfide"},
    ("tunnel", "charging-bay"): {"oxygen", "hydrogen"},
    ("laboratory", "cryogenic-store"): {"oxygen+", "nitrogen"},
    ("laboratory", "gas-room"): {"oxygen+", "hydrogen"},
    ("fumigation", "silo-cell"): {"oxygen", "phosphine", "carbon-dioxide"},
    ("farm", "slurry-store"): {"oxygen", "hydrogen-sulfide", "methane", "ammonia", "carbon-dioxide"},
    ("farm", "silage-silo"): {"oxygen", "nitrogen-dioxide", "carbon-dioxide"},
    ("farm", "grain-bin"): {"oxygen", "phosphine", "carbon-dioxide"},
    ("tanks", "product-tank"): {"oxygen", "benzene", "hydrogen-sulfide"},
    ("water", "wet-well"): {"oxygen", "hydrogen-sulfide", "methane"},  # 29 CFR 1910.146, Appendix E
}  # fmt: skip


@each(("trade", "area"), sorted(SEEN_IN_TRADES))
def test_an_area_has_the_hazards_that_its_trade_knows_and_a_sensor_for_each_toxic_one(trade, area):
    [place] = [one for one in BY_ID[trade].areas if one.id == area]
    wanted = SEEN_IN_TRADES[trade, area]
    assert wanted <= {gas for gas, _ in place.hazards}
    sensors = BY_ID[trade].sensors_in(place)
    assert "oxygen" in sensors
    for gas in wanted - {"oxygen", "oxygen+", "nitrogen", "methane", "propane", "hydrogen"}:
        assert (gas if gas in KINDS else "vapour") in sensors
    if "hydrogen" in wanted and "carbon-monoxide" in sensors:
        assert "carbon monoxide read hydrogen too" in place.note


@pytest.mark.papers
@pytest.mark.parametrize(
    ("trade", "card", "languages"),
    [
        ("tanks", "product-tank-tester", ("en",)),
        ("farm", "slurry-store-tester", ("en",)),
        ("farm", "silage-silo-tester", ("en", "ar")),
        ("shipyard", "engine-room-entrant", ("en", "ar")),
    ],
)
def test_the_fullest_cards_fit(tmp_path, trade, card, languages, capsys):
    """Those of most channels, and of most that no sensor sees; in Arabic those that have most to spell out."""
    content = str(written(tmp_path / "content", trade, languages=languages))
    call = ["card", card, "--content", content, "--out", str(tmp_path), "--as-of", str(DAY), "-q"]
    assert run(call) == 0, capsys.readouterr().err


def test_whoever_tests_a_tank_reads_on_the_card_what_no_sensor_sees(tmp_path):
    card = (written(tmp_path, "tanks") / "cards/product-tank-tester.yaml").read_text(encoding="utf-8")
    assert "{block: not-seen}" in card


def test_areas_kinds_of_detector_and_languages_can_be_chosen(tmp_path):
    folder = tmp_path / "new"
    options = ("--area", "grain-bin", "--pumped", "--language", "es", "--as-of", str(DAY), "-q")
    assert run(["start", str(folder), "--trade", "farm", "--name", "T", *options]) == 0
    judged = pipeline.judge(folder, DAY)
    assert list(judged.program.areas) == ["grain-bin"]
    assert {unit.model.value for unit in judged.program.units.values()} == {"pumped-grain-bin"}
    assert "No Spanish text for “Grain bin”" in " ".join(one.message for one in judged.findings)
    assert {one.rule for one in judged.findings if one.severity is Severity.STOP} == {UNCONFIRMED}


def test_what_is_not_said_is_asked_for(tmp_path, monkeypatch):
    monkeypatch.setattr("sys.stdin", StringIO("farm\nOur farm\nunited-kingdom\nes, pl\n"))
    assert run(["start", str(tmp_path / "new"), "-q"]) == 0
    text = (tmp_path / "new/site.yaml").read_text(encoding="utf-8")
    assert ('name: "Our farm"' in text, "place: united-kingdom " in text) == (True, True)
    assert "languages: [en, es, pl]" in text


@pytest.mark.parametrize("typed", ["", "farm\n", "farm\nOur farm\n", None])
def test_where_nothing_can_be_typed_nothing_is_guessed_and_the_options_are_named(typed, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr("sys.stdin", None if typed is None else StringIO(typed))
    assert run(["start", str(tmp_path / "new")]) == 2
    assert "nothing can be typed here; say --trade and --name" in capsys.readouterr().err
    assert not (tmp_path / "new").exists()


def test_a_bin_for_grain_has_detectors_of_its_own(tmp_path):
    program = pipeline.judge(written(tmp_path, "farm"), DAY).program
    bins = program.areas["grain-bin"]
    assert {model.id for model in program.models_in(bins)} == {"worn-grain-bin", "pumped-grain-bin"}
    assert "phosphine" in program.channels_in(bins)
    assert "phosphine" not in program.channels_in(program.areas["slurry-store"])


@each(
    ("place", "lists"),
    [
        ("us-general-industry", ("osha", "niosh")),
        ("us-shipyard", ("osha-shipyard", "niosh")),
        ("united-kingdom", ("uk",)),
        ("germany", ("eu",)),
        ("ontario", ("niosh",)),
    ],
)
def test_the_law_of_the_place_comes_first(place, lists):
    assert lists_for(place) == lists


@pytest.mark.parametrize("name", ['Works "North": no. 1', "Œuvre d'eau", "#1", "- dash", "O'Brien\\Sons"])
def test_any_name_of_a_site_can_be_read_back(tmp_path, name):
    assert pipeline.judge(written(tmp_path, "water", name=name), DAY).program.site.name.value == name


# ---- the command ---------------------------------------------------------------


def test_the_command_writes_a_folder_and_says_what_next(tmp_path, capsys):
    folder = tmp_path / "my site"
    assert run(["start", str(folder), "--trade", "farm", "--name", "Trial"]) == 0
    out = capsys.readouterr().out
    assert "confirm.yaml" in out
    assert "handbook preview --content" in out
    assert (folder / "areas.yaml").read_text(encoding="utf-8").count("  - id: ") == len(BY_ID["farm"].areas)


def test_nothing_that_is_there_is_written_over(tmp_path, capsys):
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    assert run(["start", str(tmp_path), "--trade", "farm", "--name", "Trial"]) == 1
    assert "holds something already" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


@pytest.mark.parametrize(
    ("option", "said"),
    [
        (["--trade", "watr"], "nearest: water"),
        (["--place", "germny"], "nearest: germany"),
        (["--area", "wetwell"], "nearest: wet-well"),
        (["--language", "ess"], "nearest: es"),
    ],
)
def test_a_name_that_is_not_known_is_told_with_the_nearest(tmp_path, capsys, option, said):
    arguments = ["start", str(tmp_path / "new"), "--trade", "water", "--name", "Trial", *option]
    assert run(arguments) == 2
    assert said in capsys.readouterr().err
    assert not (tmp_path / "new").exists()


def test_a_table_of_units_is_taken_as_it_is(tmp_path):
    table = tmp_path / "units.csv"
    table.write_text("id,model,serial,state,area\nGD-01,worn,1,in-use,wet-well\n", encoding="utf-8")
    folder = tmp_path / "new"
    assert run(["start", str(folder), "--trade", "water", "--name", "T", "--inventory", str(table), "-q"]) == 0
    assert not (folder / "inventory.yaml").exists()
    assert list(pipeline.judge(folder, DAY).program.units) == ["GD-01"]


def test_every_trade_has_a_source_and_a_name_of_its_own():
    assert len({trade.works for trade in TRADES}) == len(TRADES) == 10
    assert all(trade.source for trade in TRADES)


def test_a_table_in_another_encoding_is_refused_before_anything_is_written(tmp_path, capsys):
    table = tmp_path / "units.csv"
    table.write_bytes("id,model,serial\nGD-01,worn,Müller\n".encode("cp1252"))
    assert run(["start", str(tmp_path / "new"), "--trade", "water", "--name", "T", "--inventory", str(table)]) == 2
    assert "UTF-8" in capsys.readouterr().err
    assert not (tmp_path / "new").exists()


def test_a_name_may_hold_the_words_that_stand_for_others(tmp_path):
    readme = (written(tmp_path, "water", name="FIRST DAY Works") / "README.md").read_text(encoding="utf-8")
    assert readme.startswith("# FIRST DAY Works: ")


def test_an_alarm_at_one_limit_is_not_told_to_be_set_to_what_keeps_another(tmp_path):
    """29 CFR 1926.800 (j)(1): steps from 5 %LEL on, all out from 20 %LEL on; the display lies off by 1 at most."""
    path = written(tmp_path, "tunnel") / "setpoints.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("set: 4 %LEL", "set: 5 %LEL"), encoding="utf-8")
    told, *_ = [one for one in pipeline.judge(tmp_path, DAY).findings if one.rule == "alarm-at-limit"]
    assert told.mend == "set the alarm earlier by that much"
    assert "≥\u00a05\u00a0%LEL" in told.message


def test_a_site_of_a_company_says_only_what_is_its_own_and_is_good_content(tmp_path):
    written(tmp_path / "company", "water")
    assert run(["start", str(tmp_path / "north"), "--extends", "../company", "--name", "North"]) == 0
    assert {path.name for path in (tmp_path / "north").iterdir()} == {
        ".schema", "site.yaml", "cylinders.yaml", "confirm.yaml", "inventory.yaml"
    }  # fmt: skip
    found = stops(tmp_path / "north")
    assert found.keys() == {UNCONFIRMED}, "also what nobody at the company stands for yet"
    unsigned = [told for told in found[UNCONFIRMED] if "has confirmed" in told]
    assert len(unsigned) == 10 + len(BY_ID["water"].areas)
    areas = json.loads((tmp_path / "north/.schema/areas.json").read_text(encoding="utf-8"))
    for text, good in (
        ({"areas": [{"id": "a", "remove": "why"}]}, True),
        ({"areas": [{"id": "a", "removed": 1}]}, False),
    ):
        assert Draft202012Validator(areas).is_valid(text) is good


def test_a_company_that_is_not_there_or_a_trade_beside_it_is_refused(tmp_path, capsys):
    assert run(["start", str(tmp_path / "north"), "--extends", "../nowhere", "--name", "North"]) == 2
    assert "'../nowhere' is no folder" in capsys.readouterr().err
    (tmp_path / "company").mkdir()
    assert run(["start", str(tmp_path / "north"), "--extends", "../company", "--trade", "water"]) == 2
    assert not (tmp_path / "north").exists()
