"""Which paths a site may hold: only those that mean the same file on every system the site is copied to."""

import re
import unicodedata

from builder.base.errors import PublishError

FORBIDDEN = re.compile(r'[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff<>:"|?*\\]')
"""Characters that some file system refuses, or that would need escapes in the list of checksums."""

DEVICE = re.compile(r"(?:con|prn|aux|nul|com[1-9]|lpt[1-9])(?:\..*)?", re.IGNORECASE)
"""Names that Windows gives to devices, with any ending."""


def refusal(path: str) -> str:
    """Why ``path`` cannot stand in a site, or an empty text when it can.

    >>> refusal("cards/wet-well.pdf")
    ''
    >>> refusal("../secrets")
    'it has an empty, "." or ".." part'
    """
    if path.startswith("/"):
        return "it is absolute"
    if FORBIDDEN.search(path):
        return "it has a character that not every system allows"
    parts = path.split("/")
    if any(part in ("", ".", "..") for part in parts):
        return 'it has an empty, "." or ".." part'
    if any(part.endswith((".", " ")) for part in parts):
        return "a part of it ends in a point or a space"
    if any(DEVICE.fullmatch(part) for part in parts):
        return "a part of it is the name of a device on Windows"
    return ""


def folded_path(path: str) -> str:
    """The form in which file systems that ignore case and composition compare names."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", path).casefold())


class PathBook:
    """The paths taken so far; refuses one that escapes, comes twice, or collides where case is ignored."""

    def __init__(self) -> None:
        self._files: dict[str, str] = {}
        self._folders: dict[str, str] = {}

    def take(self, path: str) -> None:
        """Enter ``path``.

        :raises PublishError: when it cannot stand beside what was entered before.
        """
        reason = refusal(path)
        if reason:
            raise PublishError(f"the site cannot hold {path!r}: {reason}")
        if self._files.get(folded_path(path)) == path:
            raise PublishError(f"the site was given {path!r} twice")
        parts = path.split("/")
        for length in range(1, len(parts)):
            self._take_folder("/".join(parts[:length]), path)
        other = self._files.get(folded_path(path)) or self._folders.get(folded_path(path))
        if other:
            raise PublishError(f"the site cannot hold both {other!r} and {path!r}: some systems take them for one")
        self._files[folded_path(path)] = path

    def _take_folder(self, folder: str, path: str) -> None:
        key = folded_path(folder)
        if key in self._files:
            raise PublishError(f"the site cannot hold both {self._files[key]!r} and {path!r}: one is inside the other")
        known = self._folders.setdefault(key, folder)
        if known != folder:
            raise PublishError(
                f"the site cannot hold both {known + '/'!r} and {path!r}: some systems take them for one"
            )
