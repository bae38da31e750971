"""Two programs in one process do not disturb each other: nothing is remembered of the one that was asked last."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import date

import pytest

from builder.load.content import load_content
from builder.pipeline import compose, judge
from builder.program.read import read_program
from builder.reference.library import library
from tests.conftest import MINIMAL, ROOT

AS_OF = date(2026, 11, 25)
FAULTS = ROOT / "tests" / "sites" / "faults"


def told(judged):
    """All that a reader can see of a site."""
    composed = compose(judged)
    return repr((composed.pages, composed.cards, composed.outputs, judged.findings))


@pytest.fixture(scope="module")
def alone():
    return {site: told(judge(site, AS_OF)) for site in (MINIMAL, FAULTS)}


def test_a_site_composed_after_another_was_judged_is_the_same(alone):
    one, other = judge(MINIMAL, AS_OF), judge(FAULTS, AS_OF)
    assert (told(one), told(other), told(one)) == (alone[MINIMAL], alone[FAULTS], alone[MINIMAL])


def test_sites_composed_at_once_are_the_same(alone):
    sites = [MINIMAL, FAULTS] * 2
    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(lambda site: told(judge(site, AS_OF)), sites))
    assert [made == alone[site] for made, site in zip(found, sites, strict=True)] == [True] * len(sites)


def test_each_record_is_judged_once_from_content_to_pages(monkeypatch):
    from builder.figures.logbook import book

    seen: list[str] = []
    judged_once = book.verdict_of
    monkeypatch.setattr(
        book, "verdict_of", lambda record, *rest: seen.append(str(record.where)) or judged_once(record, *rest)
    )
    told(judge(FAULTS, AS_OF))
    documents, problems = load_content(FAULTS)
    records = read_program(documents, problems, library()).records
    assert len(seen) == len(set(seen)) > 0
    assert set(seen) <= {str(record.where) for record in records}
