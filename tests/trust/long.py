"""Whether the long part is asked for, as ``make trust`` does, and what the suite tries of it otherwise."""

from __future__ import annotations

import os

import pytest

LONG = os.environ.get("HANDBOOK_TRUST") == "long"


def sample_of(things, parts):
    """Every n-th of the things, beginning with another one each day: all are tried in as many days as there are parts.

    The long part tries all. ``tests/conftest.py`` tells the day, the same to all workers, and a run says it; given as
    ``HANDBOOK_SAMPLE`` it repeats what was tried then.
    """
    things = tuple(things)
    return things if LONG else things[int(os.environ["HANDBOOK_SAMPLE"]) % parts :: parts]


def turn(number, parts):
    """A mark of a costly test that shares its days with others: it is tried on every n-th, and in the long part."""
    return pytest.mark.skipif(
        number not in sample_of(range(parts), parts), reason="takes turns with others; `make trust` does all"
    )
