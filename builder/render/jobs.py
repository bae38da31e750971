"""Work as pure functions of small plain inputs: done by any executor, longest first, and kept by what it was made from.

A function of a job is called as ``function(engine, *inputs)`` in some process that has a warm engine. It must be found
at the top of its module, decide its result by its inputs alone, and hand back plain data: texts, bytes, numbers, tuples
and dataclasses of the builder.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from typing import Concatenate, Generic, ParamSpec, Self, TypeVar

from builder.base.digest import quick_digest
from builder.base.errors import RenderError
from builder.base.plain_pickle import packed, unpacked
from builder.base.record import dataclass
from builder.base.sources import sources_digest
from builder.base.store import NoStore, Store
from builder.render import workers
from builder.render.pdf import PdfEngine

LITTLE = 2500.0
"""About milliseconds: work that is done here before other processes would be ready for it."""

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Job(Generic[R]):
    """One piece of work."""

    function: Callable[..., R]
    """Called with an engine and ``inputs``."""
    inputs: tuple[object, ...]
    """Plain data; what the result does not depend on is left out."""
    cost: float
    """Estimate of its time, about milliseconds; the longest is begun first."""
    kind: str
    """What it is counted as, as in ``cards``."""
    modules: tuple[str, ...] = ()
    """Modules of the builder that decide the result beside that of the function, and all that they import."""

    def key(self) -> str:
        """Hash of all that decides the result: inputs, code, type faces and libraries."""
        function = self.function
        code = [sources_digest(module) for module in (function.__module__, *self.modules)]
        return quick_digest(function.__module__, function.__qualname__, code, workers.surroundings(), self.inputs)


def job(
    kind: str,
    cost: float,
    function: Callable[Concatenate[PdfEngine, P], R],
    *inputs: P.args,
    **none: P.kwargs,
) -> Job[R]:
    """A job whose inputs fit its function.

    :raises TypeError: for inputs by name, which would have no place in its key.
    """
    if none:
        raise TypeError(f"inputs of a job are given by place: {', '.join(none)}")
    return Job(function, inputs, cost, kind)


class Workshop:
    """Does jobs, in this process or by an executor, and keeps their results.

    Use it as a context manager; what it started ends with it.
    """

    def __init__(
        self, jobs: int = 1, store: Store | None = None, executor: Executor | None = None, *, little: float = 0
    ) -> None:
        """``executor`` is any of ``concurrent.futures``; without one, ``jobs`` processes are made at first need.

        :param little: jobs that cost no more than this together, as in ``LITTLE``, make no processes yet.
        """
        self._count = jobs
        self._little = little
        self._begun_here = 0.0
        """Cost of what was begun before there were processes."""
        self.store: Store = store or NoStore()
        """Where results are kept."""
        self._given = executor
        self._own: workers.Crew | None = None
        self.asked: Counter[str] = Counter()
        """Kind of job -> how many were asked for."""
        self.made: Counter[str] = Counter()
        """Kind of job -> how many of them had to be done, since nothing was kept."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *exc: object) -> None:
        if self._own is not None:
            self._own.end(at_once=exc[0] is not None)
        workers.close_engine()

    def start(self, jobs: Sequence[Job[R]], *, followed: float = 1) -> list[Future[R]]:
        """The coming results, in the order of ``jobs``; the longest is begun first.

        :param followed: how many times as long all takes that is done anew where these are.
        """
        keys = [wanted.key() for wanted in jobs]
        kept = [unpacked(self.store.get(key)) for key in keys]
        coming = {at: _done(found) for at, found in enumerate(kept) if found is not None}
        self.asked.update(wanted.kind for wanted in jobs)
        missing = sorted((at for at in range(len(jobs)) if at not in coming), key=lambda at: -jobs[at].cost)
        if missing:
            executor = self._executor(sum(jobs[at].cost for at in missing), followed)
            coming |= {at: self._begun(executor, jobs[at], keys[at]) for at in missing}
        return [coming[at] for at in range(len(jobs))]

    def run(self, jobs: Sequence[Job[R]]) -> list[R]:
        """The results, in the order of ``jobs``.

        :raises HandbookError: what the first of them raised.
        """
        return results(self.start(jobs))

    def tally(self) -> dict[str, tuple[int, int]]:
        """Kind of job -> how many were done anew, and how many there were."""
        return {kind: (self.made[kind], count) for kind, count in self.asked.items()}

    def _begun(self, executor: Executor, wanted: Job[R], key: str) -> Future[R]:
        self.made[wanted.kind] += 1
        coming: Future[R] = executor.submit(workers.perform, workers.surroundings(), wanted.function, wanted.inputs)
        coming.add_done_callback(lambda done: self._keep(key, done))
        return coming

    def _keep(self, key: str, done: Future[R]) -> None:
        if not done.cancelled() and done.exception() is None:
            self.store.put(key, packed(done.result()))

    def _executor(self, cost: float, followed: float) -> Executor:
        if self._given is not None:
            return self._given
        self._begun_here += cost
        if self._own is None and self._begun_here * followed <= self._little:
            return workers.InPlace()
        if self._own is None:
            workers.close_engine()  # forked processes would share it, and the first to end would remove its fonts
            self._own = workers.Crew(self._count)
        return self._own.executor


def results(coming: Iterable[Future[R]]) -> list[R]:
    """What came of each.

    :raises HandbookError: what the first of them raised.
    :raises RenderError: when a process ended before its work was done.
    """
    try:
        return [one.result() for one in coming]
    except BrokenExecutor as error:
        raise RenderError("a process that lays out documents ended before its work was done") from error


def _done(result: R) -> Future[R]:
    done: Future[R] = Future()
    done.set_result(result)
    return done
