"""A mapping in parts holds what the whole one held, in parts of bounded size that stay where nothing changed."""

import random

import pytest

from builder.base.parted import IN_MEMORY, LEAST, MOST, Parted, runs_of


def keys_of(seed, count):
    chance = random.Random(seed)
    return sorted({f"record.{chance.randrange(10**9)}.{chance.choice('abc')}" for _ in range(count)})


def parted(keys, loaded):
    runs = list(runs_of(keys))

    def load(at):
        loaded.append(at)
        return {key: key.upper() for key in runs[at]}

    return Parted([run[0] for run in runs], len(keys), load)


@pytest.mark.parametrize("count", [0, 1, LEAST - 1, LEAST, LEAST + 1, 5000, 40_000])
def test_runs_hold_every_key_once_in_parts_of_bounded_size(count):
    keys = keys_of(count, count)
    runs = list(runs_of(keys))
    assert [key for run in runs for key in run] == keys
    assert all(LEAST <= len(run) <= MOST for run in runs[:-1])
    assert all(0 < len(run) <= MOST for run in runs)


def test_one_key_more_leaves_nearly_all_runs_as_they_were():
    keys = keys_of(1, 40_000)
    before, moved = set(runs_of(keys)), []
    for seed in range(40):
        after = set(runs_of(sorted({*keys, *keys_of(1000 + seed, 1)})))
        moved.append(len(before - after))
    assert max(moved) <= 4, "it falls into step again at the next key that begins a run"
    assert sorted(moved)[len(moved) // 2] == 1


def test_a_key_is_looked_up_in_its_part_alone():
    keys, loaded = keys_of(2, 20_000), []
    whole = parted(keys, loaded)
    assert whole[keys[7000]] == keys[7000].upper()
    assert keys[7001] in whole
    assert loaded == [whole.part_of(keys[7000])]
    assert len(whole) == len(keys)
    for absent in ("", "a", "record.5", "z"):
        assert absent not in whole
    with pytest.raises(KeyError):
        whole["record.5"]


def test_what_is_held_at_once_is_bounded_and_all_of_it_can_be_gone_through():
    keys, loaded = keys_of(3, 120_000), []
    whole = parted(keys, loaded)
    assert dict(whole) == {key: key.upper() for key in keys}
    assert len(whole._held) <= IN_MEMORY < len(loaded)


def test_nothing_is_in_an_empty_one():
    empty = parted([], [])
    assert dict(empty) == {}
    assert "a" not in empty
    with pytest.raises(KeyError):
        empty["a"]
