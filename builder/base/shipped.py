"""Finds what comes with the program beside its code: templates, texts, catalogues."""

from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[1]
CANDIDATES = (PACKAGE / "_templates", PACKAGE.parent / "templates")
"""Inside a wheel; beside the package in a checkout."""


@cache
def shipped_folder() -> Path:
    """The folder that holds ``html``, ``prose``, ``locale`` and their like.

    :raises FileNotFoundError: when the installation has none.
    """
    for folder in CANDIDATES:
        if (folder / "html").is_dir():
            return folder
    raise FileNotFoundError("no templates folder; looked in " + ", ".join(map(str, CANDIDATES)))
