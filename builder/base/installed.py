"""Versions of installed packages, from what installers leave beside them.

The library for it takes 12 ms to load and reads what they left as an e-mail; a command that changes nothing takes 110.
"""

import os
import re
import sys
from collections.abc import Mapping
from functools import cache
from pathlib import Path

TOLD = {".dist-info": "METADATA", ".egg-info": "PKG-INFO"}
"""Ending of a folder that tells of a package -> the file in it that has its version."""
HEAD = "Version:"


def version_of(package: str) -> str:
    """The version of an installed package, empty where it is not installed."""
    told = _told().get(_same(package))
    return (told and _version_in(told)) or _asked(package)


def _same(package: str) -> str:
    """One spelling of the name of a package, as its index compares them."""
    return re.sub(r"[-_.]+", "-", package).lower()


@cache
def _told() -> Mapping[str, Path]:
    """Package -> the file that tells of it; of several the one that is imported."""
    found: dict[str, Path] = {}
    for folder in filter(os.path.isdir, sys.path):
        for name in os.listdir(folder):  # noqa: PTH208 - two hundred names, of which most are none
            package, ending = os.path.splitext(name)  # noqa: PTH122 - as above
            if ending in TOLD:
                found.setdefault(_same(package.partition("-")[0]), Path(folder, name, TOLD[ending]))
    return found


def _version_in(told: Path) -> str:
    try:
        with told.open(encoding="utf-8", errors="replace") as lines:
            return next((line.removeprefix(HEAD).strip() for line in lines if line.startswith(HEAD)), "")
    except OSError:
        return ""


def _asked(package: str) -> str:
    """The same from the library, which knows of other ways to install."""
    from importlib.metadata import PackageNotFoundError, version  # noqa: PLC0415 - see above

    try:
        return version(package)
    except PackageNotFoundError:
        return ""
