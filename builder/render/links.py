"""Ways between the files of a site: each is relative, so that a site works from any folder."""

import posixpath
from collections.abc import Mapping
from functools import lru_cache
from urllib.parse import quote

from builder.base.errors import RenderError
from builder.base.nearest import hint


def looked_up(target: str, hrefs: Mapping[str, str], page: str) -> str:
    """The site path of a reference.

    :raises RenderError: when the site has no such thing.
    """
    if target not in hrefs:
        raise RenderError(f"{page}: nothing in the site is called {target!r}{hint(target, hrefs)}")
    return hrefs[target]


def checked_path(path: str, what: str) -> str:
    """``path`` when it is relative to the site, stays inside it, and names a file.

    :raises RenderError: otherwise.
    """
    file = path.partition("#")[0]
    if not file or file.startswith("/") or posixpath.normpath(file) != file or file.split("/")[0] == "..":
        raise RenderError(f"{what}: {path!r} is no path inside the site")
    return path


def relative(here: str, path: str) -> str:
    """The link from the page at ``here`` to ``path``, both site paths; ``path`` may end in ``#anchor``.

    >>> relative("areas/wet-well.html", "figures/limits.html#limit.wet-well.flammable")
    '../figures/limits.html#limit.wet-well.flammable'
    """
    file, _, anchor = path.partition("#")
    tail = f"#{quote(anchor, safe=':.~-_')}" if anchor else ""
    if file == here and tail:
        return tail
    return _way(file, posixpath.dirname(here)) + tail


@lru_cache(maxsize=1 << 16)
def _way(file: str, folder: str) -> str:
    """The way from a folder to a file, as a link has it; pages of a folder lead to the same files again and again."""
    return quote(posixpath.relpath(file, folder or "."), safe="/._-~")
