"""The search for garbage is steered in one place, and is as it was afterwards."""

from __future__ import annotations

import gc
import os
import re
from pathlib import Path
from types import SimpleNamespace

import pytest

from builder.base.gc_pause import gc_ended, gc_frozen, gc_paused

BUILDER = Path(__file__).resolve().parents[2] / "builder"


@pytest.fixture
def searching():
    """The search as pytest has it, put back at the end."""
    was = gc.isenabled()
    gc.enable()
    yield
    (gc.enable if was else gc.disable)()


def fail():
    raise RuntimeError("work that fails")


@pytest.mark.usefixtures("searching")
def test_a_process_that_ends_searches_no_more():
    kept = [[] for _ in range(100)]
    try:
        gc_ended()
        assert not gc.isenabled()
        assert gc.get_freeze_count() > len(kept)
    finally:
        gc.unfreeze()


@pytest.mark.usefixtures("searching")
def test_the_search_goes_on_after_the_work_also_when_it_fails():
    with gc_paused():
        assert not gc.isenabled()
        with gc_paused(then_collect=True):
            pass
        assert not gc.isenabled()
    assert gc.isenabled()
    with pytest.raises(RuntimeError, match="work that fails"), gc_paused():
        fail()
    assert gc.isenabled()


@pytest.mark.usefixtures("searching")
def test_what_leads_to_nothing_is_given_back_at_the_end_where_that_is_asked():
    with gc_paused(then_collect=True):
        circle: list[object] = []
        circle.append(circle)
        del circle
        before = gc.get_count()[0]
    assert gc.get_count()[0] < before


def test_what_is_there_is_left_out_meanwhile():
    before = gc.get_freeze_count()
    with gc_frozen():
        assert gc.get_freeze_count() > before
        with gc_frozen():
            pass
        assert gc.get_freeze_count() > before, "the inner end is not the outer one"
    assert gc.get_freeze_count() == 0


@pytest.mark.skipif(not hasattr(os, "fork"), reason="no processes are forked here")
def test_a_process_forked_meanwhile_leaves_it_out_for_good():
    with gc_frozen():
        child = os.fork()
        if not child:
            with gc_frozen():
                pass
            os._exit(0 if gc.get_freeze_count() else 1)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    assert gc.get_freeze_count() == 0


def test_nothing_that_is_left_out_is_counted(monkeypatch):
    """A count goes through all of it: a third of a second for each document of a site of 2,000 units."""
    asked = {name: getattr(gc, name) for name in ("isenabled", "enable", "disable", "freeze", "unfreeze")}
    monkeypatch.setattr("builder.base.gc_pause.gc", SimpleNamespace(**asked))
    with gc_frozen(), gc_frozen(searching=True):
        pass


@pytest.mark.usefixtures("searching")
def test_what_comes_meanwhile_is_searched_also_inside_a_pause():
    with gc_paused():
        with gc_frozen(searching=True):
            assert gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_no_other_module_steers_it():
    asks = re.compile(r"^\s*(import gc\b|from gc import)", re.MULTILINE)
    found = [path for path in sorted(BUILDER.rglob("*.py")) if asks.search(path.read_text(encoding="utf-8"))]
    assert [path.relative_to(BUILDER).as_posix() for path in found] == ["base/gc_pause.py"]
