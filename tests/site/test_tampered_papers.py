"""One digit changed on papers of a kind that only the demo has is found too: labels, folded cards, cards in Arabic."""

from __future__ import annotations

import pytest

from builder.verify.paper import Paper, check_paper
from builder.verify.site import Site
from tests.release.test_tampering import unseen_on_paper

PAPERS = (
    "labels/small.pdf",
    "cards/carbon-dioxide-entrant.ar.pdf",
    "cards/digester-tester.pdf",
    "cards/coatings-readings.pdf",
    "cards/sheets/a6-folded-on-a4.pdf",
)


def test_every_number_of_every_card_and_sheet_is_read_back(demo):
    site = Site(demo.out)
    wanted = site.json("numbers.json")["artefacts"]
    paths = list(site.paths("cards/", ".pdf"))
    assert len(paths) > 20
    assert {path for path in paths if check_paper(Paper(site.data(path), path), wanted[path])} == set()


@pytest.mark.parametrize("path", PAPERS)
def test_a_digit_on_a_paper_of_the_demo(demo, path):
    assert unseen_on_paper(Site(demo.out), path) == []
