"""Finding gases, and the values of the library against sources it was not made from where there are any."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from chemicals import safety
from chemicals.identifiers import CAS_from_any

from builder.base.quantity import UNITS
from builder.reference.errors import AmbiguousGasError, UnknownGasError, UnknownNameError
from builder.reference.library import (
    IONISATION_ENERGY_SOURCES,
    LEL_BASES,
    PROPERTIES,
    GasEntry,
    library,
)
from builder.reference.limits import LIMIT_KINDS
from builder.reference.tables import TABLES
from tests.each import each
from tests.reference.cases import cases, rows

LIBRARY = library()
LISTS = tuple(LIBRARY.limit_lists())
DAY = date(2026, 11, 28)
GASES = [pytest.param(gas, id=gas.id) for gas in LIBRARY.gases()]
POCKET_GUIDE = "niosh-pocket-guide-2005"

METHODS = {"iec-60079-20-1-2010": "IEC 60079-20-1 (2010)", "nfpa-497-2008": "NFPA 497 (2008)"}
"""Our basis -> name of the table in `chemicals` it was copied from."""

NAMES_CHEMICALS_LACKS = {
    "i-butene",
    "IPA",
    "VAM",
    "EO",
    "2-propenenitrile",
    "DMA",
    "sulphuretted hydrogen",
    "hydrofluoric acid gas",
    *("R-290", "R-744", "R-764", "R-1270"),
}
"""Synonyms that `chemicals` cannot resolve, so nothing outside confirms them but, of the last four, the numbering of
refrigerants: 700 and the mass (CO2 44, SO2 64), or C - 1, H + 1, F, after a 1 for a double bond (C3H8, C3H6)."""

LEFT_OUT = {("ethane", "nfpa-497-2008", "flash-point")}
"""Values of a copied table that are left out on purpose; the row's note says why."""


# identity


@each("gas", GASES)
def test_cas_number_has_its_check_digit(gas: GasEntry) -> None:
    # check digit: sum of digit × place counted from the right, modulo 10 (CAS registry's published rule)
    digits, check = gas.cas.replace("-", "")[:-1], gas.cas[-1]
    assert sum(place * int(digit) for place, digit in enumerate(reversed(digits), start=1)) % 10 == int(check)


def test_ids_names_and_cas_numbers_are_unique() -> None:
    gases = LIBRARY.gases()
    assert len(gases) == 62
    for texts in ([g.id for g in gases], [g.name.casefold() for g in gases], [g.cas for g in gases]):
        assert len(set(texts)) == len(texts)


@each("gas", GASES)
def test_name_and_synonyms_mean_this_cas_number_in_chemicals(gas: GasEntry) -> None:
    known = [word for word in (gas.name, *gas.synonyms) if word not in NAMES_CHEMICALS_LACKS]
    assert {CAS_from_any(word) for word in known} == {gas.cas}


@each("gas", GASES)
def test_every_name_of_a_gas_finds_it_alone(gas: GasEntry) -> None:
    for word in (gas.id, gas.name, gas.cas, *gas.synonyms):
        assert LIBRARY.find(word) == gas


@each("case", cases("find.csv"))
def test_find(case: dict[str, str]) -> None:
    assert LIBRARY.find(case["text"]).id == case["gas"]


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("pushed out by carbon dioxide", {"carbon-dioxide"}),
        ("CO₂ of dry ice, and nitrogen", {"carbon-dioxide", "nitrogen"}),
        ("leaks of chlorine dioxide", {"chlorine-dioxide"}),  # and not chlorine
        ("no gas in the co-op", set()),  # NO and CO are words too
        ("C4H10", set()),  # n-butane or isobutane
    ],
)
def test_gases_that_a_text_names(text: str, named: set[str]) -> None:
    assert set(LIBRARY.named_in(text)) == named


def test_a_shared_formula_names_all_its_gases() -> None:
    with pytest.raises(AmbiguousGasError) as caught:
        LIBRARY.find("C4H10")
    assert str(caught.value) == "'C4H10' is more than one gas: n-butane, isobutane"


@pytest.mark.parametrize(("ask", "text"), [(LIBRARY.gas, "metane"), (LIBRARY.find, "Metane")])
def test_an_unknown_gas_names_the_nearest(ask: object, text: str) -> None:
    with pytest.raises(UnknownGasError) as caught:
        ask(text)  # type: ignore[operator]
    assert caught.value.nearest[:2] == ("methane", "ethane")
    assert str(caught.value).startswith(f"no gas is called {text!r}; nearest: methane, ethane")


def test_gas_takes_ids_only() -> None:
    with pytest.raises(UnknownGasError):
        LIBRARY.gas("H2S")


# values copied from `chemicals`: these tests prove faithful copying, not truth


@each("basis", LEL_BASES)
@each("gas", GASES)
def test_explosive_limits_are_copied_faithfully(gas: GasEntry, basis: str) -> None:
    for prop, origin in (("lel", safety.LFL), ("uel", safety.UFL)):
        has_it = METHODS[basis] in (safety.LFL_methods if origin is safety.LFL else safety.UFL_methods)(CASRN=gas.cas)
        published = LIBRARY.published(gas.id, prop, (basis,))
        assert (published is not None) == has_it
        if published:
            fraction = origin(CASRN=gas.cas, method=METHODS[basis])
            assert published.value == Fraction(Decimal(repr(float(fraction)))) * 100


@each("basis", LEL_BASES)
@each("gas", GASES)
def test_ignition_temperatures_are_copied_faithfully(gas: GasEntry, basis: str) -> None:
    for prop, ask, methods in (
        ("autoignition", safety.T_autoignition, safety.T_autoignition_methods),
        ("flash-point", safety.T_flash, safety.T_flash_methods),
    ):
        published = LIBRARY.published(gas.id, prop, [basis])
        expected = METHODS[basis] in methods(gas.cas) and (gas.id, basis, prop) not in LEFT_OUT
        assert (published is not None) == expected
        if published:
            assert float(published.value) + 273.15 == pytest.approx(ask(gas.cas, method=METHODS[basis]), abs=1e-6)


# values against something they were not copied from


@pytest.mark.parametrize("prop", ["lel", "uel"])
def test_two_us_sources_of_explosive_limits_differ_only_where_listed(prop: str) -> None:
    differ = {}
    compared = 0
    for gas in LIBRARY.gases():
        nfpa = LIBRARY.published(gas.id, prop, ["nfpa-497-2008"])
        guide = LIBRARY.published(gas.id, prop, [POCKET_GUIDE])
        if nfpa and guide:
            compared += 1
            if nfpa.value != guide.value:
                differ[gas.id] = (nfpa.text, guide.text)
    listed = rows("nfpa-against-pocket-guide.csv")
    assert differ == {row["gas"]: (row["nfpa"], row["pocket_guide"]) for row in listed if row["property"] == prop}
    assert compared >= 30


def test_idlh_set_at_a_tenth_of_the_lel_is_a_tenth_of_the_printed_lel() -> None:
    # two columns of the Pocket Guide that its own note ties together: 10 % of x %vol is 1000·x ppm
    checked = 0
    for gas in LIBRARY.gases():
        idlh = LIBRARY.limits(gas.id, "niosh", DAY).get("idlh")
        if idlh and "10 % of the LEL" in idlh.note:
            lel = LIBRARY.published(gas.id, "lel", [POCKET_GUIDE])
            assert lel is not None
            assert idlh.value == lel.value * 1000, gas.id
            checked += 1
    assert checked == 12 + 1  # n-butane came with the profiles


@each("case", cases("limits.csv"))
def test_limits_read_in_the_rule_itself(case: dict[str, str]) -> None:
    limit = LIBRARY.limits(case["gas"], case["list"], DAY)[case["kind"]]
    assert (limit.text, limit.unit) == (case["value"], "ppm")


@each("gas", GASES)
def test_limits_stand_in_their_natural_order(gas: GasEntry) -> None:
    for name in LISTS:
        limits = LIBRARY.limits(gas.id, name, DAY)
        if "twa" in limits:
            assert all(limit.value >= limits["twa"].value for limit in limits.values()), name
    for source in (*LEL_BASES, POCKET_GUIDE):
        lel, uel = (LIBRARY.published(gas.id, prop, [source]) for prop in ("lel", "uel"))
        if lel and uel:
            assert 0 < lel.value < uel.value <= 100


# what a value carries, and what is never guessed


def test_a_published_value_carries_its_provenance() -> None:
    lel = LIBRARY.lel("methane", "iec-60079-20-1-2010")
    assert lel is not None
    assert (lel.value, lel.unit, lel.text, lel.read) == (Fraction(22, 5), "%vol", "4.4", True)
    assert lel.source.id == "iec-60079-20-1-2010"
    ceiling = LIBRARY.limits("hydrogen-sulfide", "niosh", DAY)["ceiling"]
    assert (ceiling.text, ceiling.note, ceiling.locator) == ("10", "over 10 minutes", "p. 170")
    peak = LIBRARY.limits("hydrogen-sulfide", "osha", DAY)["ceiling"].note
    assert "peak of 50 ppm for at most 10 minutes" in peak


def test_every_value_has_a_known_unit_and_a_locator() -> None:
    for gas in LIBRARY.gases():
        for prop in PROPERTIES:
            for source in TABLES:
                value = LIBRARY.published(gas.id, prop, [source])
                if value:
                    assert value.unit in UNITS
                    assert value.locator
                    assert Fraction(value.text) == value.value


@pytest.mark.parametrize(
    ("gas", "basis", "elsewhere"),
    [
        ("isobutylene", "nfpa-497-2008", "iec-60079-20-1-2010"),
        ("hydrazine", "nfpa-497-2008", POCKET_GUIDE),
        ("phosphine", "iec-60079-20-1-2010", POCKET_GUIDE),
    ],
)
def test_a_missing_lel_is_none_though_another_source_has_one(gas: str, basis: str, elsewhere: str) -> None:
    assert LIBRARY.lel(gas, basis) is None
    assert LIBRARY.published(gas, "lel", [elsewhere]) is not None


def test_the_bases_stay_apart() -> None:
    # IEC 4.4 and NFPA 5.0 for methane: the two conventions in use, see docs/content.md
    texts = [value.text for basis in LEL_BASES if (value := LIBRARY.lel("methane", basis))]
    assert texts == ["4.4", "5"]


def test_a_basis_is_one_of_the_two() -> None:
    with pytest.raises(UnknownNameError, match="no LEL basis is called 'iec-60079-20-1'; nearest: iec-60079-20-1-2010"):
        LIBRARY.lel("methane", "iec-60079-20-1")


def test_published_takes_the_first_source_that_has_it() -> None:
    order = ["nist-ionisation-energy", "iec-60079-20-1-2010", POCKET_GUIDE]
    value = LIBRARY.published("benzene", "ionisation-energy", order)
    assert value is not None
    assert value.source.id == POCKET_GUIDE
    assert LIBRARY.published("carbon-dioxide", "lel", TABLES) is None


@pytest.mark.parametrize(
    ("prop", "sources", "message"),
    [
        ("lfl", ["nfpa-497-2008"], "no property is called 'lfl'; nearest: lel"),
        ("lel", ["nfpa-497-2008", "nfpa-497-2012"], "no source is called 'nfpa-497-2012'; nearest: nfpa-497-2008"),
    ],
)
def test_unknown_names_are_refused(prop: str, sources: list[str], message: str) -> None:
    with pytest.raises(UnknownNameError) as caught:
        LIBRARY.published("methane", prop, sources)
    assert str(caught.value) == message


@each("gas", GASES)
def test_every_gas_has_an_ionisation_energy_and_the_highest_counts(gas: GasEntry) -> None:
    energy = LIBRARY.ionisation_energy(gas.id)
    assert energy is not None
    assert energy.read == (energy.source.id != IONISATION_ENERGY_SOURCES[-1])
    assert energy.value == max(found.value for found in LIBRARY.ionisation_energies(gas.id))


def test_of_two_ionisation_energies_the_higher_decides() -> None:
    # propylene oxide: 9.81 eV in the NIOSH Pocket Guide, 10.22 eV (from memory) of NIST, so 10.0 eV may not do
    assert [found.text for found in LIBRARY.ionisation_energies("propylene-oxide")] == ["9.81", "10.22"]
    energy = LIBRARY.ionisation_energy("propylene-oxide")
    assert energy is not None
    assert (energy.text, energy.read) == ("10.22", False)


def test_idlh_is_niosh_only_and_kinds_keep_their_order() -> None:
    for gas in LIBRARY.gases():
        for name in LISTS:
            kinds = list(LIBRARY.limits(gas.id, name, DAY))
            assert kinds == [kind for kind in LIMIT_KINDS if kind in kinds]
            assert "idlh" not in kinds or name == "niosh"


def test_a_value_from_memory_says_so() -> None:
    assert not LIBRARY.limits("hydrogen-sulfide", "eu", DAY)["twa"].read
    assert LIBRARY.limits("sulfur-dioxide", "eu", DAY)["twa"].read


def test_an_unknown_list_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="no list of limits is called 'nioshh'; nearest: niosh"):
        LIBRARY.limits("methane", "nioshh", DAY)


def test_sources_are_found_by_id() -> None:
    assert [source.id for source in LIBRARY.sources()] == list(TABLES)
    assert LIBRARY.source("uk-eh40-2005").evidence == "law"
