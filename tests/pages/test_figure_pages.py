"""Derivations lie on few pages of bounded size, and where a key lies needs no more than the first key of each page."""

from __future__ import annotations

from collections import Counter

import pytest

from builder.pages.handbook.figure_pages import MOST, SMALL, family_of, figure_pages


def keys(*groups):
    """Keys of groups, as (name, how many)."""
    return [f"{name}.n{number:04}" for name, count in groups for number in range(count)]


def test_a_family_is_one_page_named_after_it_and_small_ones_share_one():
    told = figure_pages(keys(("gas.methane", 30), ("gas.propane", 40), ("site", 2), ("limit.pit", SMALL)))
    assert told.path("gas.propane.n0001") == "figures/gas.html#gas.propane.n0001"
    assert {told.name(key) for key in keys(("site", 2), ("limit.pit", SMALL))} == {"others"}


def test_small_families_share_as_many_pages_as_they_need():
    every = keys(*((f"f{number:02}.a", SMALL) for number in range(9)))
    told = figure_pages(every)
    names = Counter(told.name(key) for key in every)
    assert set(names) == {"others", "others-2", "others-3"}
    assert max(names.values()) <= MOST


@pytest.mark.parametrize(
    "groups",
    [
        [("unit.a", 60), ("unit.b", 60), ("unit.c", 60)],
        [("unit.a", 2), ("unit.b", MOST), ("unit.c", 1), ("window.a", SMALL + 1)],
        [("unit.a", 3 * MOST + 7), ("unit.b", 2)],
        [("unit.a", 1), ("unit.b", 5 * MOST), ("window.c", MOST + 1)],
    ],
)
def test_no_page_is_longer_than_allowed_and_each_holds_a_run_of_sorted_keys(groups):
    every = sorted(keys(*groups))
    told = figure_pages(every[::-1])
    names = [told.name(key) for key in every]
    assert max(Counter(names).values()) <= MOST
    assert names == sorted(names, key=names.index), "a page is one run of keys"
    assert all(name.partition("-")[0] == family_of(key) for name, key in zip(names, every, strict=True))


def test_a_group_that_fits_on_a_page_is_not_cut():
    told = figure_pages(keys(("unit.a", MOST - 1), ("unit.b", 3)))
    assert {told.name(key) for key in keys(("unit.b", 3))} == {"unit-2"}
