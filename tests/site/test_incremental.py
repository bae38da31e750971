"""After any edits a site that is made again in part is, byte for byte, the site made from nothing.

Layout is left out here: in its place stands a hash of all that the engine would be given, which is what a document may
depend on. ``python -m tests.benchmark.edits`` does the same with the engine itself, and on the demo.
"""

from __future__ import annotations

import shutil
from datetime import date

import pytest

from builder import building, pipeline
from builder.base.digest import digest
from builder.base.errors import ContentError
from builder.base.store import FileStore
from builder.render.cards import RenderedCard
from builder.render.documents import Made
from builder.render.formats import LEAST_UNASKED
from builder.render.jobs import Workshop
from tests.conftest import DAY, MINIMAL
from tests.site.edits import Edits

BUILDS, EDITS_A_BUILD, COMPARED_EACH = 25, 8, 5


class Nothing:
    """Stands where an engine would."""

    def close(self):
        """It holds nothing."""


@pytest.fixture
def no_layout(monkeypatch):
    """Each document is the hash of what it is made from; what its code asks for decides nothing else."""

    def made(_engine, document):
        data = digest(document).encode()
        return Made(pdf=data, faults=(), notes=(), pages=1, anchors=())

    def card(_engine, card, figures):
        from builder.render.card_pages import card_html

        data = digest(card_html(card, figures), card).encode()
        return RenderedCard(
            id=card.id, path=card.path, language=card.language, pdf=data, pages=1, type_pt=LEAST_UNASKED
        )

    for module in ("forms", "labels", "sheets"):
        monkeypatch.setattr(f"builder.render.{module}.make", made)
    monkeypatch.setattr("builder.render.cards._rendered", card)
    monkeypatch.setattr("builder.render.imposing.imposed", lambda *given: digest(given).encode())
    monkeypatch.setattr("builder.render.workers.PdfEngine", Nothing)


def files_of(composed, store):
    with Workshop(1, store) as shop:
        return building.render(composed, building.begin(composed.judged, shop), draft=True, shop=shop), shop.tally()


def composed_of(content, day):
    try:
        return pipeline.compose(pipeline.judge(content, day))
    except ContentError:
        return None


@pytest.mark.usefixtures("no_layout", "without_book")
def test_a_site_made_in_part_is_the_site_made_from_nothing(tmp_path):
    content = tmp_path / "content"
    shutil.copytree(MINIMAL, content)
    edits, store = Edits(content, seed=12), FileStore(tmp_path / "kept")
    made = whole = 0
    for number in range(1, BUILDS + 1):
        said = [edits.one() for _ in range(EDITS_A_BUILD)]
        composed = composed_of(content, DAY)
        while composed is None:  # content that is wrong is not built; the author takes the last edit back
            said.append(edits.undo())
            composed = composed_of(content, DAY)
        files, tally = files_of(composed, store)
        made, whole = made + sum(new for new, _ in tally.values()), whole + sum(count for _, count in tally.values())
        if number % COMPARED_EACH == 0:
            assert files == files_of(composed, None)[0], f"build {number}, after: {', '.join(said)}"
    # on so small a site a page holds many things, so that an edit makes more of all pages anew than on a large one
    assert made < whole * 3 / 5, f"{made} of {whole} made anew: nothing was gained"


@pytest.mark.usefixtures("no_layout", "without_book")
def test_another_day_is_another_site_and_only_what_tells_of_it_is_made(tmp_path):
    store = FileStore(tmp_path / "kept")
    for day in (DAY, date(2026, 11, 26), DAY):
        composed = composed_of(MINIMAL, day)
        files, tally = files_of(composed, store)
        assert files == files_of(composed, None)[0]
    assert {kind: new for kind, (new, _) in tally.items() if new} == {}, "the first day is kept as well"
