"""Options that say who does the work of a build and where what it made is kept."""

from __future__ import annotations

import functools
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from builder.base.errors import UsageError
from builder.base.record import dataclass
from builder.cli.options import FOLDER
from builder.cli.telling import say

if TYPE_CHECKING:
    from builder.base.store import FileStore
    from builder.render.jobs import Workshop


CACHE = "HANDBOOK_CACHE"


@dataclass(frozen=True, slots=True)
class Work:
    """What was asked for."""

    jobs: int
    cache: Path | None
    """Folder that was named, ``None`` for the usual one."""
    keep: bool
    cluster: str
    """Address of a running cluster, or empty."""

    @staticmethod
    def usual() -> Work:
        """What a command does that has no such options."""
        return Work(jobs=2, cache=None, keep=True, cluster="")

    def store(self) -> FileStore | None:
        """Where results are kept, or ``None``."""
        if not self.keep:
            return None
        return opened_store(self.cache)

    def refuse_within(self, *folders: Path) -> None:
        """Refuse to keep results where they would become part of a content or a site.

        :raises UsageError: when the folder for them lies in one of ``folders``.
        """
        kept = Path(os.path.realpath(self.cache or cache_folder()))
        for folder in folders if self.keep else ():
            if kept.is_relative_to(os.path.realpath(folder)):
                raise UsageError(f"the cache {kept} lies in {folder}; allowed: a folder apart from content and site")

    @contextmanager
    def opened(self) -> Iterator[Workshop]:
        """The workshop that these options ask for.

        :raises UsageError: when there is no such cluster.
        """
        from builder.render.jobs import LITTLE, Workshop  # noqa: PLC0415 - as above

        store = self.store()
        if self.cluster:
            with _client(self.cluster) as client, Workshop(store=store, executor=client.get_executor()) as shop:
                yield shop
        else:
            with Workshop(self.jobs, store, little=LITTLE) as shop:
                yield shop
        if store is not None:
            store.trim()


def opened_store(named: Path | None = None) -> FileStore:
    """What is kept in a folder that was named, or in the usual one."""
    from builder.base.store import FileStore  # noqa: PLC0415 - `--help` needs none of it

    return FileStore(named or cache_folder())


def cache_folder() -> Path:
    """The folder that ``HANDBOOK_CACHE`` names, or the user's cache folder."""
    from builder.base.store import usual_folder  # noqa: PLC0415 - as above

    folder = os.environ.get(CACHE)
    return Path(folder) if folder else usual_folder()


def work_options(command: Callable[..., int]) -> Callable[..., int]:
    """``--jobs``, ``--cache``, ``--no-cache`` and ``--cluster``, handed over as one ``work``."""

    @click.option("--jobs", type=click.IntRange(1, 64), default=2, show_default=True, help="Processes that lay out.")
    @click.option(
        "--cache",
        type=FOLDER,
        envvar=CACHE,
        help="Folder for what can be used again; it never changes a byte. Default: the user's cache folder.",
    )
    @click.option("--no-cache", is_flag=True, help="Make everything anew and keep nothing.")
    @click.option("--cluster", default="", metavar="ADDRESS", help="Lay out on a running Dask cluster.")
    @functools.wraps(command)
    def packed(*, jobs: int, cache: Path | None, no_cache: bool, cluster: str, **others: Any) -> int:
        return command(work=Work(jobs, cache, not no_cache, cluster), **others)

    return packed


def _client(address: str) -> Any:
    try:
        from distributed import Client  # noqa: PLC0415 - an extra, loaded where it is asked for
    except ImportError:
        raise UsageError("--cluster needs the extra: pip install 'detector-handbook[cluster]'") from None
    try:
        connect: Any = Client  # untyped
        client = connect(address, timeout="5s", set_as_default=False)
    except (OSError, ValueError) as fault:
        raise UsageError(f"no cluster answers at {address}: {fault}") from fault
    if not client.scheduler_info()["workers"]:  # some are begun only when there is work
        say("note: the cluster has no worker yet; what is to be laid out waits for one", err=True)
    return client
