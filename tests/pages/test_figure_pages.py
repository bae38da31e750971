"""Derivations lie on few pages of bounded size, and where a key lies needs no more than the first key of each part."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import replace

import pytest

from builder.figures.compute import compute
from builder.pages.handbook.derivation_words import lengths
from builder.pages.handbook.figure_pages import MOST, SMALL, family_of, figure_pages
from tests.pages.conftest import AS_OF


@pytest.fixture(scope="module")
def sample(program):
    return next(iter(compute(program, AS_OF).ledger))


@pytest.fixture
def figures(sample):
    def made(*groups):
        """Figures of groups, as (name, how many)."""
        keys = [f"{name}.n{number:04}" for name, count in groups for number in range(count)]
        return {key: replace(sample, key=key, inputs=()) for key in keys}

    return made


def test_a_family_is_one_page_named_after_it_and_small_ones_share_one(figures):
    told = figure_pages(figures(("gas.methane", SMALL), ("gas.propane", 40), ("site", 2), ("limit.pit", 30)))
    assert told.path("gas.propane.n0001") == "figures/gas.html#gas.propane.n0001"
    assert {told.name(key) for key in ("site.n0001", "limit.pit.n0007")} == {"others"}


def test_small_families_share_as_many_pages_as_they_need(figures):
    every = figures(*((f"f{number:02}.a", 60) for number in range(9)))
    told, long = figure_pages(every), lengths(every)
    weights = Counter()
    for key in every:
        weights[told.name(key)] += long[key]
    assert len(weights) > 1
    assert all(name.startswith("others") for name in weights)
    assert max(weights.values()) <= MOST


@pytest.mark.parametrize(
    "groups",
    [
        [("unit.a", 60), ("unit.b", 60), ("unit.c", 60)],
        [("unit.a", 2), ("unit.b", 300), ("unit.c", 1), ("window.a", SMALL + 1)],
        [("unit.a", 1), ("unit.b", 900), ("window.c", 301)],
    ],
)
def test_no_page_is_longer_than_allowed_and_each_part_is_a_run_of_sorted_keys(figures, groups):
    every = figures(*groups)
    told, long = figure_pages(dict(reversed(every.items()))), lengths(every)
    weights, runs = Counter(), defaultdict(list)
    for key in sorted(every):
        weights[told.name(key)] += long[key]
        runs[family_of(key)].append(told.name(key))
    assert max(weights.values()) <= MOST
    for family, names in runs.items():
        assert names == sorted(names, key=names.index), "a page has one run of a family"
        assert {name.partition("-")[0] for name in names} <= {family, "others"}


def test_a_new_value_moves_no_derivation(figures):
    every = figures(("unit.a", 300))
    changed = {key: replace(figure, text="1 000 000", exact=figure.exact) for key, figure in every.items()}
    assert figure_pages(changed) == figure_pages(every)


def test_what_a_figure_is_made_from_and_what_uses_it_make_its_derivation_longer(program):
    ledger = compute(program, AS_OF).ledger
    long = lengths(ledger.figures)
    made = max(ledger, key=lambda figure: len(figure.inputs))
    assert long[made.key] > lengths({made.key: replace(made, inputs=())})[made.key]
    used = next(part.figure for figure in ledger for part in figure.inputs if part.figure)
    assert long[used] > lengths({used: ledger[used]})[used]


def test_a_family_that_grows_a_little_leaves_the_others_where_they_are(figures):
    before = [(f"f{number:02}.a", 60) for number in range(9)]
    told, grown = figure_pages(figures(*before)), figure_pages(figures(*before, ("f05.b", 1)))
    assert {family: [name for _, name in parts] for family, parts in grown.parts.items()} == {
        family: [name for _, name in parts] for family, parts in told.parts.items()
    }


@pytest.mark.parametrize("group", ["unit.b", "unit.c", "unit.d"])
def test_a_figure_in_the_midst_of_a_large_family_moves_few_of_its_parts(figures, group):
    """Without it each part behind the new figure would begin with another key."""
    many = [(f"unit.{letter}", 1000) for letter in "abcd"]
    before = figure_pages(figures(*many)).parts["unit"]
    after = figure_pages(figures(*many, (f"{group}.n0005", 1))).parts["unit"]
    assert len(before) > 15
    assert len(set(after) - set(before)) < len(before) / 4


@pytest.mark.parametrize("more", range(0, 80, 8))
def test_small_families_stay_where_they_are_when_a_large_one_grows(figures, more):
    small = [(f"site{number}", 60) for number in range(6)]
    told, grown = (figure_pages(figures(*small, ("record.a", 500 + count))) for count in (0, more))
    assert [grown.parts[name] for name, _ in small] == [told.parts[name] for name, _ in small]
