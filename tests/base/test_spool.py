"""A spool hands back what was put in it, in memory or on disk, in the order of its paths."""

import random

import pytest

from builder.base.spool import Spool


@pytest.mark.parametrize("in_memory", [1, 500, 10**9])
def test_what_was_put_in_comes_out_whatever_the_order(in_memory):
    chance = random.Random(in_memory)
    wanted, spool = {}, Spool(in_memory)
    for number in range(400):
        path, data = f"p{chance.randrange(150)}", chance.randbytes(chance.randrange(60))
        if number % 7 == 3 and path in wanted:
            del wanted[path], spool[path]
        else:
            wanted[path] = spool[path] = data
            asked = chance.choice(sorted(wanted))
            assert spool[asked] == wanted[asked], "reading moves no writing"
    assert dict(spool) == wanted
    assert list(spool) == list(wanted)
    assert len(spool) == len(wanted)
    assert "nothing" not in spool
    with pytest.raises(KeyError):
        spool["nothing"]


def test_what_is_put_in_for_later_is_asked_for_when_it_is_wanted():
    asked = []
    spool = Spool()
    spool.put_later("kept", "of kept", lambda: asked.append("kept") or b"data")
    spool["there"] = b"other"
    assert (list(spool), spool.digests, asked) == (["kept", "there"], {"kept": "of kept"}, [])
    assert (spool["kept"], asked) == (b"data", ["kept"])
    spool["kept"] = b"new"
    assert (dict(spool), spool.digests) == ({"kept": b"new", "there": b"other"}, {})
