"""Work on very many records that stay: looking for garbage among them again and again costs more than the garbage."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def gc_paused() -> Iterator[None]:
    """No search for garbage meanwhile; for work that leaves next to none."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


@contextmanager
def gc_frozen() -> Iterator[None]:
    """Whatever is there already is left out of the search meanwhile; for work that leaves much garbage of its own."""
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()
