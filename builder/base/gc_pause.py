"""The one place that steers Python's search for garbage, for work on very many records that stay.

Looking for garbage among them again and again costs more than the garbage.
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def gc_paused(*, then_collect: bool = False) -> Iterator[None]:
    """No search for garbage meanwhile; for work that leaves next to none.

    :param then_collect: whether to search once at the end, for work that leaves much in few circles.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
        if then_collect:
            gc_now()


_frozen = 0
"""How many of ``gc_frozen`` are open, those around the making of this process included. Python itself would count all
records that are left out, which for a large site takes longer than most documents."""


@contextmanager
def gc_frozen(*, searching: bool = False) -> Iterator[None]:
    """Whatever is there already is left out of the search meanwhile; for work that leaves much garbage of its own.

    :param searching: search for that garbage, also inside of a pause.
    """
    global _frozen  # noqa: PLW0603 - as what it counts belongs to the process
    was = gc.isenabled()
    _frozen += 1
    gc.freeze()
    if searching:
        gc.enable()
    try:
        yield
    finally:
        if not was:
            gc.disable()
        _frozen -= 1
        if not _frozen:
            gc.unfreeze()


def gc_now() -> None:
    """Give back at once what nothing leads to any more: the pages of a large layout take gigabytes."""
    gc.collect()


def gc_ended() -> None:
    """Search no more, for a process that is about to end: it would go through every record before the system takes all.

    That is a tenth of the time of a command that only looks.
    """
    gc.disable()
    gc.freeze()
