"""One build at a time for one output folder, across processes; a killed build leaves nothing locked."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from builder.base.errors import PublishError


@contextmanager
def only_build(out: Path) -> Iterator[None]:
    """Hold the lock of ``out`` (a file beside it) for as long as the block runs.

    The lock is the system's own, which takes it back when its holder dies.

    :raises PublishError: when another process holds it, or the place cannot be written.
    """
    from filelock import FileLock, Timeout  # noqa: PLC0415 - a build where nothing changed needs none

    path = out.with_name(f"{out.name}.lock")
    lock = FileLock(path, timeout=0)
    try:
        if path.is_file() and path.stat().st_size:  # a lock is empty
            raise PublishError(f"{path} is no lock of this builder; move it elsewhere")
        lock.acquire()
    except Timeout as fault:
        if not path.exists():  # a file system on which none can be made
            raise PublishError(f"{out} cannot be written here") from fault
        raise PublishError(f"another build is writing {out}; wait until it has ended, then build again") from fault
    except (OSError, NotImplementedError) as fault:
        raise PublishError(f"{out} cannot be written here: {fault}") from fault
    try:
        yield
    finally:
        with suppress(OSError):  # the next build locks it again
            path.unlink(missing_ok=True)
        lock.release()
