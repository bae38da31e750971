"""The list of checksums over a site, in the form that ``sha256sum -c`` reads."""

import hashlib
import re
from collections.abc import Mapping
from pathlib import Path

from builder.base.errors import PublishError
from builder.base.plain_file import only_plain

NAME = "SHA256SUMS"
OF_SITES = "sites.sha256"
"""The list over an index of many sites: its files, and the list of each site."""
SIGNATURE = f"{NAME}.sig"
"""The detached signature of the list, where the site was signed."""
SIGNERS = "trusted-signers"
"""Who may sign, in the form of OpenSSH's allowed signers; copied from the content."""
LINE = re.compile(r"([0-9a-f]{64})  (.+)")


def digest(data: bytes) -> str:
    """SHA-256 of ``data`` in lower-case hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def digest_file(path: Path) -> str:
    """SHA-256 of a file's content, read in pieces."""
    with only_plain(path).open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def write_sums(digests: Mapping[str, str]) -> bytes:
    """The list as bytes: one line a file, sorted by path, whatever the order of ``digests``."""
    return "".join(f"{digests[path]}  {path}\n" for path in sorted(digests)).encode()


def read_sums(data: bytes) -> dict[str, str]:
    """Path -> digest from a list made by :func:`write_sums`.

    :raises PublishError: when a line is not of that form, with its number.
    """
    found: dict[str, str] = {}
    for number, line in enumerate(data.decode(errors="replace").removesuffix("\n").split("\n"), start=1):
        match = LINE.fullmatch(line)
        if not match:
            raise PublishError(
                f"{NAME}:{number}: {line[:80]!r} is no checksum line; allowed: 64 digits, two spaces, a path"
            )
        found[match[2]] = match[1]
    return found
