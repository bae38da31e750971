"""Hands that only read: they do the work of a printing shop with the engine that hands out words instead of PDFs."""

from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future
from typing import Any, TypeVar

from builder.render import workers
from builder.render.source_words import WordsEngine

R = TypeVar("R")
BEHIND = 3
"""Two that read on two processors leave one of them to the process that judges and composes, for which they would wait
in the end."""
Places = Mapping[str, Mapping[str, int]]
"""Title of a PDF -> page of each place in it."""


class Reading(Executor):
    """Some processes that read; give it to a workshop that keeps nothing. Use it as a context manager."""

    def __init__(self, jobs: int = 1) -> None:
        self._crew = workers.Crew(jobs, behind=BEHIND)
        self._places: dict[str, Mapping[str, int]] = {}

    def __exit__(self, *exc: object) -> None:
        self._crew.end(at_once=exc[0] is not None)

    def place(self, title: str, places: Mapping[str, int]) -> None:
        """Tell on which page of a PDF each place lies."""
        self._places[title] = places

    def submit(self, _: Callable[..., R], /, *args: Any, **__: Any) -> Future[R]:
        """The result of a job; ``args`` end with its function and its inputs, as a workshop hands them out."""
        expected, function, inputs = args
        titles = {getattr(part, "title", "") for part in inputs}
        places = {title: known for title, known in self._places.items() if title in titles}
        return self._crew.executor.submit(
            workers.perform, expected, with_places, (function, inputs, places), WordsEngine
        )

    def begin(self, function: Callable[..., R], *inputs: object) -> Future[R]:
        """The result of a function that needs no engine."""
        return self._crew.executor.submit(function, *inputs)


def with_places(engine: WordsEngine, function: Callable[..., R], inputs: tuple[object, ...], places: Places) -> R:
    """The result of a job, where it is known on which page each place lies."""
    engine.places = places
    return function(engine, *inputs)
