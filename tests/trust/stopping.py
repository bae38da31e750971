"""The command, stopped at a named point: ``python -m tests.trust.stopping POINT SIGNAL WHOLE ...``.

``POINT`` is ``module:function:before`` or ``:after``, or ``-`` for none; instead of ``SIGNAL`` there may be the name of
an error number or of an exception, with which the call then fails. Where ``WHOLE`` is ``light`` nothing is laid out,
which is most of the time of a build and none of its care for what stands.
"""

from __future__ import annotations

import builtins
import errno
import os
import signal
import sys
from functools import reduce
from importlib import import_module
from types import SimpleNamespace

POINTS = (
    "builder.publish.staging:recover:before",
    "builder.publish.staging:recover:after",
    "builder.publish.staging:refuse_foreign:after",
    "builder.pipeline:judge:after",
    "builder.pipeline:compose:after",
    "builder.publish.staging:note:before",
    "builder.publish.staging:note:after",
    "builder.publish.staging:_write:after",
    "builder.publish.staging:_settle:before",
    "builder.publish.staging:_settle:after",
    "builder.publish.staging:swap:before",
    "builder.publish.atomic_replace:exchange:after",
    "builder.publish.atomic_replace:sync_folder:after",
    "builder.publish.staging:swap:after",
    "builder.publish.staging:forget:before",
    "builder.publish.staging:forget:after",
    "builder.building:publish:after",
)
"""Of a build, in the order in which it comes to them."""
RELEASE_POINTS = (
    *POINTS,
    "builder.release.release:scratch:before",
    "builder.release.release:snapshot:after",
    "builder.release.release:enter:before",
    "builder.release.release:enter:after",
)


def stop_at(point: str, name_of_it: str) -> None:
    """Have this process sent a signal, or refused by the system, where it comes to the point."""
    module_name, name, when = point.split(":")
    *owners, name = name.split(".")
    module = reduce(getattr, owners, import_module(module_name))
    real = getattr(module, name)

    def stopping(*args, **named):
        if when == "before":
            stop(name_of_it)
        result = real(*args, **named)
        if when == "after":
            stop(name_of_it)
        return result

    setattr(module, name, stopping)


def stop(name: str) -> None:
    """Send a signal or raise an error, by its name."""
    if name in (MemoryError.__name__, SystemError.__name__):
        raise getattr(builtins, name)("error return without exception set")
    if not name.startswith("SIG"):
        number = getattr(errno, name)
        raise OSError(number, os.strerror(number))
    os.kill(os.getpid(), getattr(signal, name))


def nothing_laid_out() -> None:
    """Builds and releases without pages and papers; all data are made."""
    from builder.base.spool import Spool
    from builder.pages.handbook.page_words import words_on
    from builder.render import site

    def rendered(*, pages, figures, beside, **_):
        files = Spool()
        files["index.html"] = figures["handbook.as-of"].printed.encode()
        beside(files, {}, {page.id: words_on(page, figures) for page in pages})
        return SimpleNamespace(files=files, chapters={})

    site.begin_papers = lambda *_: None
    site.render_site = rendered
    site.rendered_pages = lambda *_: ()


def main() -> None:
    point, number, whole, *command = sys.argv[1:]
    from builder.render import jobs

    jobs.LITTLE = 0  # however little there is to do, other processes do it
    if whole == "light":
        nothing_laid_out()
    if point != "-":
        stop_at(point, number)
    sys.argv = ["handbook", *command]
    from builder.__main__ import main as handbook

    handbook()


if __name__ == "__main__":
    main()
