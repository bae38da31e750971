"""Hands that only read: they do the work of a printing shop with the engine that hands out words instead of PDFs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future
from typing import Any, TypeVar

from builder.render.source_words import WordsEngine

R = TypeVar("R")


class Reading(Executor):
    """Does each job at once, in this process; give it to a workshop that keeps nothing."""

    def __init__(self) -> None:
        self._engine = WordsEngine()

    def place(self, title: str, places: Mapping[str, int]) -> None:
        """Tell on which page of a PDF each place lies."""
        self._engine.places = {**self._engine.places, title: places}

    def submit(self, _: Callable[..., R], /, *args: Any, **__: Any) -> Future[R]:
        """The result of a job; ``args`` end with its function and its inputs, as a workshop hands them out."""
        function, inputs = args[-2:]
        done: Future[R] = Future()
        try:
            done.set_result(function(self._engine, *inputs))
        except Exception as error:  # noqa: BLE001 - handed on to whoever asks for the result
            done.set_exception(error)
        return done

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:  # noqa: ARG002 - its form
        """Give back the engine."""
        self._engine.close()
