"""What a sound site is read into."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from builder.base.errors import ContentError
from builder.base.quantity import magnitude
from builder.base.where import Where

CSV = (
    "id,model,serial,state,area,pool,cylinder,last.bump,last.calibration,last.look,note\n"
    "d-001,three-pumped,T3-0001,in-use,pit,,c-1,2026-11-24,2026-08-31,2026-11-20,\n"
    'd-002,vapour-only,V1-0001,spare,,"Rack, in the yard office",,2026-11-20,,,"The ""yellow"" one"\n'
    "d-003,three-pumped,T3-0002,retired,,Shelf,,,,,\n"
)


def plain(unit):
    """A unit without the places it stands at."""

    def value(given):
        return given.value if given else None

    last = {check: (day.value, day.text) for check, day in unit.last.items()}
    given = (unit.model, unit.serial, unit.state, unit.area, unit.pool, *unit.cylinders)
    return (unit.id, *(value(one) for one in given), last, unit.note)


@pytest.fixture
def program(program_of, site):
    return program_of(site)


@pytest.fixture
def from_csv(changed, program_of):
    def read(text):
        folder = changed()
        (folder / "inventory.yaml").unlink()
        (folder / "inventory.csv").write_text(text, encoding="utf-8", newline="")
        return program_of(folder)

    return read


def test_an_inventory_as_csv_gives_the_same_units(program, from_csv):
    other = from_csv(CSV)
    assert [plain(unit) for unit in other.units.values()] == [plain(unit) for unit in program.units.values()]


def test_an_inventory_saved_by_a_spreadsheet_gives_the_same_units(program, from_csv):
    other = from_csv("\ufeff" + CSV.replace("\n", "\r\n") + ",,,,,,,,,,\r\n")
    assert [plain(unit) for unit in other.units.values()] == [plain(unit) for unit in program.units.values()]


def test_a_fault_of_a_csv_unit_names_its_row(from_csv):
    with pytest.raises(ContentError) as caught:
        from_csv(CSV.replace("d-003,three-pumped", "d-003,three-pump").replace("2026-08-31", "31/08/2026"))
    assert str(caught.value) == (
        "inventory.csv:2: '31/08/2026' for 'calibration'; allowed: a real date as year-month-day, such as 2026-11-25\n"
        "inventory.csv:4: unknown model 'three-pump'; allowed: one of three-pumped, vapour-only; nearest: three-pumped"
    )


def test_a_column_that_no_unit_has_is_refused(from_csv):
    with pytest.raises(ContentError) as caught:
        from_csv("id,model,serial,state,colour\nd-001,three-pumped,T3-0001,in-use,red\n")
    fields = "id, model, serial, state, since, area, also-in, pool, cylinder, holder, battery, note, "
    fields += "last.ID, fitted.ID, sensor-serial.ID"
    assert str(caught.value) == (
        "inventory.csv:1: column 'colour' means nothing here; allowed: a column that maps.yaml names, "
        f"or lists under ignore; or one of {fields}"
    )


def test_values_keep_their_line_and_the_authors_spelling(program):
    scale = program.models["three-pumped"].positions[1].full_scale
    assert (magnitude(scale.value, "%vol"), scale.text, scale.where) == (
        Fraction(30),
        "30 %vol",
        Where("models.yaml", 6),
    )
    reviewed = program.procedures["bump"].reviewed
    assert (reviewed.value, reviewed.where) == (date(2026, 1, 31), Where("procedures/bump.md", 8))


@pytest.mark.parametrize(
    ("written", "unit"), [("30 vol%", "%vol"), ("30 % vol", "%vol"), ("30 %v/v", "%vol"), ("30%vol", "%vol")]
)
def test_a_display_has_the_unit_meant_in_any_spelling(written, unit, changed, program_of):
    program = program_of(changed(("models.yaml", "full-scale: 30 %vol", f"full-scale: {written}")))
    assert program.models["three-pumped"].positions[1].unit == unit


def test_a_display_in_parts_per_billion_reads_in_parts_per_million(changed, program_of):
    program = program_of(changed(("models.yaml", "full-scale: 2000 ppm", "full-scale: 2000000 ppb")))
    position = program.models["vapour-only"].positions[0]
    assert (position.unit, magnitude(position.full_scale.value, "ppm")) == ("ppm", 2000)


def test_an_entry_for_all_areas_governs_those_no_other_entry_names(changed, program_of):
    own = "  - areas: [pit]\n    channel: oxygen\n    reason: own\n    low: {set: 20 %vol, action: Out.}\n"
    program = program_of(changed(("setpoints.yaml", "  - areas: all\n", own + "  - areas: all\n")))
    named, rest = (entry for entry in program.setpoints if entry.channel.value == "oxygen")
    assert program.setpoint("pit", "oxygen") is named
    assert program.setpoint("store", "oxygen") is rest
    assert [area.id for area in program.areas_of(rest)] == ["store"]


def test_channels_come_in_the_order_air_is_tested(program):
    assert program.channels_in(program.areas["pit"]) == ("oxygen", "flammable", "hydrogen-sulfide")


def test_a_sensor_sees_its_own_gas_and_those_it_has_factors_for(program):
    fitted = [sensor for _, _, sensor in program.fitted_to(program.models_in(program.areas["pit"]))]
    seen = {gas: [sensor.id for sensor in fitted if sensor.sees(gas)] for gas in program.gases}
    assert seen == {
        "methane": ["cat"],
        "propane": ["cat"],
        "oxygen": ["o2"],
        "hydrogen-sulfide": ["h2s"],
        "isobutylene": [],
        "toluene": ["cat"],
    }


def test_a_literal_marked_as_meant_is_accepted(changed, told):
    text = (
        "Warm up for {literal: 2 min}, see {literal: 29 CFR 1910.146 | a title, 4 ft apart}. Level 3, A4, 4-gas, 2026."
    )
    assert told(changed(("pages/home.md", "It is invented.", text))) == []


def test_a_link_may_name_anything_the_site_has(changed, told):
    kinds = (
        "gas:methane model:three-pumped sensor:cat unit:d-001 procedure:bump card:pit-entrant page:cautions page:gases"
    )
    text = " ".join(f"[]({target})" for target in kinds.split())
    assert told(changed(("pages/home.md", "It is invented.", text))) == []


def test_the_latest_revision_counts(changed, program_of):
    folder = changed()
    text = (folder / "revisions/001.yaml").read_text(encoding="utf-8")
    later = text.replace("number: 1", "number: 12").replace("2026-10-01", "2026-11-01")
    (folder / "revisions/000.yaml").write_text(later, encoding="utf-8")
    assert program_of(folder).revision.number.value == 12
