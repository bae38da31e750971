"""What a formula's refusal tells its caller."""

from __future__ import annotations

import pickle

import pytest

from builder.base.errors import OutOfRangeError
from builder.base.quantity import quantity
from builder.figures.formulas.inputs import amount


def test_a_refusal_keeps_what_was_found_apart_from_what_is_allowed():
    with pytest.raises(OutOfRangeError) as refused:
        amount(quantity(-1, "ppm"), "ppm", "limit; allowed: none", low=0)
    assert refused.value.found == "limit; allowed: none is -1 ppm"
    assert refused.value.allowed == "at least 0 ppm"


def test_a_refusal_survives_being_handed_to_another_process():
    again = pickle.loads(pickle.dumps(OutOfRangeError("too much", "less")))  # noqa: S301 - our own bytes
    assert (again.found, again.allowed, str(again)) == ("too much", "less", "too much; allowed: less")
