"""What is entered for gases that no table has: copied as it stands it is refused, filled in it is good content."""

from __future__ import annotations

import re

import pytest
import yaml
from chemicals import MW, safety

from builder.base.errors import ContentError
from builder.cli import run
from builder.reference.asked_gases import ENTER, asked_gas, asked_gases
from builder.reference.library import library
from tests.each import each

OWN = [one for one in asked_gases() if "own:" in one.entry]
MIXED = [one for one in asked_gases() if "mixtures:" in one.entry]


def stated(one):
    """The lower explosive limit that an entry gives as a number."""
    found = re.search(r"value: ([0-9.]+) %vol", one.entry)
    return found and float(found[1])


def filled(entry):
    """An entry with something for all that a site has to know."""
    text = re.sub(f"(molar-mass|value): {ENTER}", r"\1: 80", entry)
    text = text.replace(f"cas: {ENTER}", "cas: 1-2-3").replace(f"source: {ENTER}", "source: data sheet")
    text = text.replace(f'source: "{ENTER}"', "source: data sheet")
    return text.replace(f"from: {ENTER} %, to: {ENTER} %", "from: 5 %, to: 80 %")


@each("name", [
    "gasoline", "petrol", "Diesel", "jet fuel", "LPG", "liquefied petroleum gas", "natural gas", "biogas", "bromine",
    "methyl bromide", "sulfuryl fluoride", "silane", "R-32", "R-134a", "R-410A", "R-1234yf", "R-143a",
    "R-22", "R-152a", "R-507A", "HFO-1234ze", "refrigerant",
])  # fmt: skip
def test_what_sites_ask_for_has_an_answer(name, capsys):
    asked = asked_gas(name)
    assert asked is not None
    assert run(["gas", *name.split()]) == 1
    assert asked.entry.strip().splitlines()[0].strip() in capsys.readouterr().out


def test_what_the_library_has_is_not_asked_for():
    names = {word for gas in library().gases() for word in (gas.id, gas.name, gas.cas, gas.formula, *gas.synonyms)}
    assert [name for name in names if asked_gas(name)] == []


@pytest.mark.parametrize("one", [one for one in OWN if stated(one)], ids=lambda one: one.id)
def test_a_limit_that_is_given_is_the_lower_of_both_tables(one):
    # IEC 60079-20-1:2010 and NFPA 497:2008 in `chemicals`, by CAS number
    cas = yaml.load(one.entry, Loader=yaml.CSafeLoader)[0]["own"]["cas"]
    found = []
    for method in ("IEC 60079-20-1 (2010)", "NFPA 497 (2008)"):
        value = safety.LFL(CASRN=cas, method=method)
        found += [value * 100] if value else []
    assert stated(one) == pytest.approx(min(found))


def test_a_refrigerant_of_the_library_is_found_by_its_number():
    assert [asked_gas(name) for name in ("R-290", "R-717", "R-744")] == [None, None, None]


@pytest.mark.parametrize("one", [one for one in OWN if "written:" in one.entry], ids=lambda one: one.id)
def test_a_molar_mass_is_that_of_its_number(one):
    # `chemicals`, by CAS number
    own = yaml.load(one.entry, Loader=yaml.CSafeLoader)[0]["own"]
    assert float(own["molar-mass"].split()[0]) == pytest.approx(MW(own["cas"]), rel=2e-4)


@pytest.mark.parametrize("one", OWN, ids=lambda one: one.id)
def test_a_copied_gas_is_refused_until_it_is_filled_in(changed, program_of, one):
    gases = changed() / "gases.yaml"
    sound = gases.read_text(encoding="utf-8").rstrip("\n") + "\n"
    gases.write_text(sound + one.entry, encoding="utf-8")
    with pytest.raises(ContentError, match=f"source still says {ENTER}"):
        program_of(gases.parent)
    gases.write_text(sound + filled(one.entry), encoding="utf-8")
    assert one.id in program_of(gases.parent).gases


@pytest.mark.parametrize("one", MIXED, ids=lambda one: one.id)
def test_copied_mixtures_are_refused_until_they_are_filled_in(changed, program_of, one):
    areas = changed() / "areas.yaml"
    with (areas.parent / "gases.yaml").open("a", encoding="utf-8") as gases:
        gases.write("".join(f"  - id: {name}\n" for name in ("n-butane", "ethane", "nitrogen", "carbon-dioxide")))
    sound = areas.read_text(encoding="utf-8")
    first = re.search(r"^    temperature: .*\n", sound, re.MULTILINE)[0]
    areas.write_text(sound.replace(first, first + one.entry, 1), encoding="utf-8")
    with pytest.raises(ContentError, match=ENTER):
        program_of(areas.parent)
    areas.write_text(sound.replace(first, first + filled(one.entry), 1), encoding="utf-8")
    assert len(next(iter(program_of(areas.parent).areas.values())).mixtures) == 1


def test_a_gas_that_is_asked_for_in_content_says_where_to_look(changed, program_of):
    gases = changed() / "gases.yaml"
    gases.write_text(gases.read_text(encoding="utf-8").rstrip("\n") + "\n  - id: gasoline\n", encoding="utf-8")
    with pytest.raises(ContentError, match="`handbook gas gasoline` prints what to write"):
        program_of(gases.parent)
