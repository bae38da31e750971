"""Processes that read step back for the one that judges: they would wait for it in the end."""

import os

from builder.verify.reading import BEHIND, Reading


def test_who_reads_leaves_a_processor_to_who_judges():
    with Reading(2) as hands:
        assert hands.begin(os.nice, 0).result() == os.nice(0) + BEHIND
    with Reading(1) as hands:
        assert hands.begin(os.nice, 0).result() == os.nice(0), "this process itself"
