"""One digit changed on papers of a kind that only the demo has is found too: labels, folded cards, cards in Arabic."""

from __future__ import annotations

import pytest

from builder.verify.site import Site
from tests.release.test_tampering import unseen_on_paper

PAPERS = (
    "labels/small.pdf",
    "cards/carbon-dioxide-entrant.ar.pdf",
    "cards/digester-tester.pdf",
    "cards/coatings-readings.pdf",
    "cards/sheets/a6-folded-on-a4.pdf",
)


@pytest.mark.parametrize("path", PAPERS)
def test_a_digit_on_a_paper_of_the_demo(demo, path):
    assert unseen_on_paper(Site(demo.out), path) == []
