"""Versions of the builder and of whatever else decides the bytes of a site."""

import platform
import zlib

from builder import __version__
from builder.base.installed import version_of
from builder.base.sources import code_digest
from builder.render.libraries import drawing

LIBRARIES = (
    "weasyprint", "pydyf", "tinycss2", "tinyhtml5", "cssselect2", "pyphen", "fonttools", "brotli",
    "font-source-sans-pro", "segno", "jinja2", "markupsafe", "markdown-it-py", "pyyaml", "openpyxl", "icalendar",
    "babel", "fontpkg-ibm-plex-sans-arabic", "tzdata",
)  # fmt: skip
"""Libraries that decide bytes of a site."""


def versions() -> dict[str, str]:
    """Name -> version of each; those of the system's own libraries are as the engine reports them."""
    found = {"builder": __version__, "builder code": code_digest(), "python": platform.python_version(), **drawing()}
    found["zlib"] = zlib.ZLIB_RUNTIME_VERSION
    return found | {name: version_of(name) or "not installed" for name in LIBRARIES}
